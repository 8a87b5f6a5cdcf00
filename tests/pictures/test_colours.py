"""Colours can be read."""

from __future__ import annotations

import pytest

from lidoff.pictures import DARK, LIGHT, Palette
from lidoff.pictures.palette import contrast

#: WCAG 2.2, success criterion 1.4.3: 4.5 for text; 1.4.11: 3 for what carries meaning.
TEXT, PARTS = 4.5, 3.0


def test_published_contrast_of_black_and_white() -> None:
    # WCAG 2.2, definition of contrast ratio: it ranges from 1 to 21.
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0, rel=1e-12)
    assert contrast("#777777", "#777777") == pytest.approx(1.0, rel=1e-12)


def test_published_contrast_of_grey() -> None:
    # WCAG's well-known edge: #767676 on white is 4.54, the lightest grey that passes (from memory).
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, rel=0.001)


@pytest.mark.parametrize("palette", [LIGHT, DARK])
@pytest.mark.parametrize("ground", ["sheet", "paper"])
@pytest.mark.parametrize("paint", ["ink", "soft", "blue", "orange"])
def test_text_colours_are_readable(palette: Palette, ground: str, paint: str) -> None:
    assert contrast(getattr(palette, paint), getattr(palette, ground)) >= TEXT


@pytest.mark.parametrize("palette", [LIGHT, DARK])
def test_labels_on_filled_parts_are_readable(palette: Palette) -> None:
    assert contrast(palette.ink, palette.fill) >= TEXT
    assert contrast(palette.blue, palette.fill) >= PARTS
