"""What all objects of a result share: they may gain keys, and their figures are finite or null."""

from __future__ import annotations

from typing import Annotated, TypeAlias

from pydantic import BaseModel, ConfigDict, Field

Figure: TypeAlias = float | None
Positive: TypeAlias = Annotated[float, Field(ge=0)] | None
Fraction: TypeAlias = Annotated[float, Field(ge=0, le=1)] | None
Text: TypeAlias = str | None


class Row(BaseModel):
    """One object of a result; a later version may add keys."""

    model_config = ConfigDict(extra="allow", allow_inf_nan=False)
