"""Widths of text without a toolkit, so that label layout is the same on screen, on paper and in a test.

Advance widths of DejaVu Sans in hundredths of the font's height (measured with Qt 6.11 at 1,000 px), rounded up; it is
the widest of the usual screen fonts, so text in another one stays inside its label.
"""

from __future__ import annotations

from functools import lru_cache

_REGULAR = {
    28: "'ijl",
    29: "IJ",
    32: " ,.",
    34: "/:;\\|",
    36: "f-",
    40: "()[]t!",
    41: "r",
    46: '"',
    50: "*_`°–",
    53: "sz?",
    56: "cL",
    59: "Fkvxy",
    62: "PTYaoe",
    64: "ESbdghnpqu$0123456789{}µ",
    69: "KAVBRXZ",
    73: "CU",
    77: "HNDG",
    82: "&OQw",
    86: "#+<=>^~×M",
    100: "%mW@",
}
_BOLD = {
    34: "'ijl",
    38: " /IJ\\|,.",
    42: ":;-",
    46: "f!()[]",
    50: "tr_`°–",
    60: '"*?zcs',
    65: "Lvxy",
    70: "akEFTeo$0123456789",
    74: "hnu{}SYbdgpqCPZµ",
    77: "BAKRVX",
    87: "UGD#+<=>HN^~×OQ&",
    110: "w%@MmW",
}
_OTHER = 100
"""A character that the table does not have counts as a full square."""


def _by_character(table: dict[int, str]) -> dict[str, int]:
    return {character: width for width, characters in table.items() for character in characters}


_WIDTHS = {False: _by_character(_REGULAR), True: _by_character(_BOLD)}


@lru_cache(maxsize=4096)
def _hundredths(text: str, bold: bool) -> int:
    widths = _WIDTHS[bold]
    return sum(widths.get(character, _OTHER) for character in text)


def text_width(text: str, height: float, *, bold: bool = False) -> float:
    """Return the width of one row of text whose font is ``height`` high, in the unit of ``height``."""
    return _hundredths(text, bold) * height / 100.0
