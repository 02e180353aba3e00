"""A drop test of the tank itself: what it says of the phosphate, and where it can't be."""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot

from tendtui.chemistry import Solution
from tendtui.core.quantity import Quantity
from tendtui.core.rack import Show
from tendtui.core.show import show_number, show_value
from tendtui.words import _

__all__ = ["drop_test_spread", "misfit_of", "with_phosphate_of"]

ONE_DROP_MEQ = 0.36
"""[meq/L] that one drop of a common kit stands for: one German degree of carbonate hardness (DIN 38409-7)."""

LEAST_SHARE = 0.05
"""Share of the typical phosphate that a tank is taken to keep, however low its drop test. Chosen here."""

FITS_WITHIN_MEQ = ONE_DROP_MEQ
"""[meq/L] by which a drop test may miss what can be before it is left out: one drop too many or too few."""


def drop_test_spread(*, alkalinity_meq: float, tested: float) -> float:
    """Give the doubt of a drop test of the tank, as a logarithm.

    Args:
        alkalinity_meq: As tested. [meq/L]
        tested: What a drop test is in doubt by anyway, as a share.

    Source:
        A test counted in whole drops is spread evenly over one of them: a deviation of a drop over the
        root of 12.
    """
    return hypot(tested, ONE_DROP_MEQ / 12.0**0.5 / max(alkalinity_meq, ONE_DROP_MEQ))


def with_phosphate_of(
    totals: Mapping[str, float], *, alkalinity_meq: float, in_air: Solution, bare: Solution
) -> Mapping[str, float]:
    """Give the totals with as much phosphate as a low alkalinity leaves room for.

    At a pH, a tank in balance with the air holds alkalinity by its phosphate and the air's carbonate. A drop
    test that finds less than these says that there is less phosphate than was thought.

    Args:
        totals: What is dissolved. [mmol/kg]
        alkalinity_meq: As tested. [meq/kg]
        in_air: The tank in balance with the air.
        bare: The same without phosphate.
    """
    phosphate = totals.get("P", 0.0)
    by_phosphate = in_air.alkalinity_meq - bare.alkalinity_meq
    if alkalinity_meq >= in_air.alkalinity_meq or by_phosphate <= 1e-6:
        return totals
    share = (alkalinity_meq - bare.alkalinity_meq) / by_phosphate
    return {**totals, "P": phosphate * max(share, LEAST_SHARE)}


def misfit_of(*, alkalinity_meq: float, ph: float, least_meq: float, most_meq: float, show: Show) -> str:
    """Give the sentence that says why a drop test can't be right; an empty text where it can.

    Args:
        alkalinity_meq: As tested. [meq/L]
        ph: As read.
        least_meq: What the air's carbonate alone holds at this pH. [meq/L]
        most_meq: What all that can be dissolved would hold. [meq/L]
        show: How numbers are shown.
    """
    words = {
        "tested": show_value(alkalinity_meq, Quantity.ALKALINITY, show),
        "ph": show_value(ph, Quantity.PH, show),
    }
    if alkalinity_meq < least_meq - FITS_WITHIN_MEQ:
        return _(
            "The drop test of the tank found {tested}. At {ph} the air alone gives more: it is left out. "
            "Test again, and check the pH meter in buffer 7."
        ).format(**words)
    if alkalinity_meq > most_meq + FITS_WITHIN_MEQ:
        return _(
            "The drop test of the tank found {tested}. At {ph} this water can't hold more than {most}: it is "
            "left out. Test again."
        ).format(most=show_number(most_meq, Quantity.ALKALINITY, show), **words)
    return ""
