"""A field for several tube sizes, with commas between them."""

from __future__ import annotations

from typing import Any

from linesizer.catalog.size_words import outside_diameter_m
from linesizer.errors import UserError
from linesizer.ui.fields.text import TextField

_ANY_TUBE = "ASTM-B280-drawn"
"""Whose metal is asked first matters to a diameter, not to whether a word is a size at all."""


class SizesField(TextField):
    """Sizes as the catalogues write them; nothing typed is no size."""

    def text_of(self, value: Any) -> str:
        """Return the sizes with commas."""
        return ", ".join(value or ())

    def value_of(self, text: str) -> Any:
        """Return the sizes in their order, each once; ``UserError`` where one is the size of no tube."""
        found = tuple(dict.fromkeys(word.strip() for word in text.replace(";", ",").split(",") if word.strip()))
        for word in found:
            if outside_diameter_m(word, _ANY_TUBE) is None:
                raise UserError(
                    "FIELD-05",
                    what=f'{self.name}: "{word}" is no size.',
                    why=f'No tube standard here has a size "{word}", written as in the size table: 7/8, 22x1.',
                    remedy="Write sizes with commas between them, such as 7/8, 1-1/8.",
                )
        return found
