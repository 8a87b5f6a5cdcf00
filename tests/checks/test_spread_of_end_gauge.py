"""Published check: what each input brings to the end gauge's uncertainty, through a method book.

JCGM 100:2008, H.1 (table H.1): contributions 25, 9.7, 2.9 and 16.6 nm, u_c = 32 nm. With unrounded inputs
they are 25.0, 9.68, 2.90 and 16.675 nm, the last of which rounds to 16.7: the print carries rounded factors.
With the terms of second order (H.1.7: 11.7 and 1.7 nm) u is 34 nm; that clause is quoted from memory, and
worked out anew the terms are 11.89 and 1.740 nm, u 33.91 nm.
"""

import math
from pathlib import Path

import numpy as np
import pytest

from lidoff.evaluate.spread.drawn import Narrowed
from lidoff.evaluate.spread.effects import single_effects, together
from lidoff.evaluate.spread.indices import BookModel
from lidoff.evaluate.spread.shares import Shares, shares_of
from lidoff.evaluate.spread.target import Target
from lidoff.methods import load_book
from lidoff.quantities.spread import between, normal

NM = 1e-9
SAMPLES = 20_000
BOOK = Path(__file__).parents[1] / "data" / "books" / "end_gauge.toml"

#: Value and standard uncertainty of each input [SI], as the table gives them. The temperatures are drawn as
#: normal like the rest: the table's contributions rest on standard uncertainties alone.
INPUTS = {
    "standard": (50.000623e-3, 25 * NM),
    "seen": (215 * NM, math.sqrt(5.8**2 + 3.9**2 + 6.7**2) * NM),
    "expansion_difference": (0.0, 0.58e-6),
    "temperature": (-0.1, 0.41),
    "expansion": (11.5e-6, 1.2e-6),
    "temperature_difference": (0.0, 0.029),
}


@pytest.fixture(scope="module")
def found() -> tuple[dict[str, float], Shares]:
    """Contributions [m] by input, and the shares of the variance."""
    inputs = {name: (value, normal(u)) for name, (value, u) in INPUTS.items()}
    model = BookModel(load_book(BOOK), inputs, ["length"])
    (effects,) = single_effects(model.first)
    assert effects is not None
    target = Target(name="length", title="Length", unit="mm", packs=(), take=lambda _: None)
    samples = model.first(Narrowed(), SAMPLES)[0]
    contributions = {
        stream.partition(":")[2]: math.sqrt(variance)
        for stream, variance in zip(effects.streams, effects.variance, strict=True)
    }
    (total,) = together([effects], SAMPLES)
    return contributions, shares_of(target, effects.value, samples, effects, total)


@pytest.mark.parametrize(
    ("name", "printed", "half"),
    [
        ("standard", 25.0, 0.5),
        ("seen", 9.7, 0.05),
        ("expansion_difference", 2.9, 0.05),
        ("temperature_difference", 16.6, 0.1),  # 16.675 from unrounded inputs, see above
    ],
)
def test_contributions(
    name: str, printed: float, half: float, found: tuple[dict[str, float], Shares]
) -> None:
    assert found[0][name] / NM == pytest.approx(printed, rel=half / printed)


def test_what_is_multiplied_by_zero_brings_nothing_by_itself(found: tuple[dict[str, float], Shares]) -> None:
    """The coefficients are zero at the estimates: table H.1 gives these two no contribution."""
    for name in ("temperature", "expansion"):
        assert found[0][name] < 1e-3 * NM


def test_combined_uncertainty_and_its_second_order(found: tuple[dict[str, float], Shares]) -> None:
    contributions, shares = found
    combined = math.sqrt(sum(u**2 for u in contributions.values()))
    assert combined / NM == pytest.approx(32.0, rel=0.5 / 32.0)
    assert math.sqrt(shares.variance) / NM == pytest.approx(34.0, rel=0.5 / 34.0)
    # The rest is what the products bring: (11.89² + 1.740²)/33.91² = 0.1256; 20,000 samples give it to 3 %.
    assert shares.rest == pytest.approx((11.89**2 + 1.740**2) / 33.91**2, rel=0.05)
    assert sum(s.share for s in shares.shares) + shares.rest == pytest.approx(1.0, rel=1e-12)


def test_a_flat_input_brings_its_variance() -> None:
    """JCGM 100:2008, 4.3.7: a rectangular input of half width a has variance a²/3, which a sum takes over."""
    inputs = {name: (value, normal(0.0)) for name, (value, _) in INPUTS.items()}
    inputs["seen"] = (0.0, between(-3.0 * NM, 3.0 * NM))
    model = BookModel(load_book(BOOK), inputs, ["length"])
    (effects,) = single_effects(model.first)
    assert effects is not None
    assert float(np.sum(effects.variance)) / NM**2 == pytest.approx(3.0, rel=1e-6)
