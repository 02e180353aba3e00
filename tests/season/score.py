"""What a season was worth, in the columns of the table."""

from __future__ import annotations

from statistics import median

from tendtui.value import field, value_class

COLUMNS = (
    "mornings in band %", "hours in band %", "hours pH %", "hours strength %", "pH pours past %",
    "first pour off", "portions a correction", "litres drained", "pH pours",
)  # fmt: skip


@value_class(frozen=False, kw_only=False)
class Score:
    """One keeper's season on one rack."""

    keeper: str
    seed: int
    mornings: list[bool] = field(default_factory=list)
    hours: float = 0.0
    ph_hours: float = 0.0
    strength_hours: float = 0.0
    pours: int = 0
    past: int = 0
    landing: list[float] = field(default_factory=list)
    corrections: list[int] = field(default_factory=list)
    drained_l: float = 0.0
    named: dict[str, float | None] = field(default_factory=dict)
    """Trouble -> days until it was named; None: never."""
    false_words: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def row(self) -> tuple[float, ...]:
        later = self.corrections[10:] or self.corrections
        return (
            100.0 * sum(self.mornings) / max(1, len(self.mornings)),
            self.hours,
            self.ph_hours,
            self.strength_hours,
            100.0 * self.past / max(1, self.pours),
            median(self.landing) if self.landing else 0.0,
            sum(later) / max(1, len(later)),
            self.drained_l,
            float(self.pours),
        )


def table(scores: list[Score]) -> str:
    """Give the table: a line for each keeper, medians over racks."""
    lines = [f"{'keeper':<10}" + "".join(f"{name:>22}" for name in COLUMNS)]
    for keeper in dict.fromkeys(score.keeper for score in scores):
        rows = [score.row() for score in scores if score.keeper == keeper]
        lines.append(
            f"{keeper:<10}" + "".join(f"{median(column):>22.2f}" for column in zip(*rows, strict=True))
        )
    told = [score for score in scores if score.keeper == "program"]
    for trouble in sorted({name for score in told for name in score.named}):
        days = [score.named[trouble] for score in told if trouble in score.named]
        known = [day for day in days if day is not None]
        middle = f"{median(known):.0f}" if known else "-"
        lines.append(f"{trouble}: named in {len(known)} of {len(days)}, after {middle} days (middle)")
    words = sum(len(score.false_words) for score in told)
    lines.append(f"false words: {words} in {len(told)} seasons")
    return "\n".join(lines)
