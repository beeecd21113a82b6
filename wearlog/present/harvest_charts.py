"""The charts of the harvest: the chance to be done by a day, and loss by hours of the rasp bars. Draws nothing itself."""

from __future__ import annotations

import numpy as np

from wearlog.present.charts import Chart, Curve, Drawn
from wearlog.reckoning.harvest_quality import LossTrend
from wearlog.reckoning.harvest_view import Finish

_POINTS = 60


def finish_chart(finish: Finish) -> Chart:
    """Return the chance to be done by each day; the days of 80 and 90 % stand upright."""
    sure = finish.answer.day_by(0.99)
    last = max(5, len(finish.answer.finished) - 1 if sure is None else sure)
    days = np.arange(last + 1)
    chances = tuple(100 * finish.answer.chance_by(int(day)) for day in days)
    marks = [day for day in (finish.answer.day_by(0.8), finish.answer.day_by(0.9)) if day is not None]
    since = "from today" if finish.first_day is not None else "from the first day of the harvest"
    return Chart(
        curves=(Curve(tuple(days.tolist()), chances),),
        x_label=f"days {since}",
        y_label="done, % (upright: 80 and 90 %)",
        x_end=float(last),
        upright=tuple(float(day) for day in sorted(set(marks))),
    )


def loss_chart(trend: LossTrend) -> Chart:
    """Return the checks of one combine in one crop, the line through them, and where the next check will lie."""
    end = 1.1 * float(trend.hours.max())
    hours = np.linspace(0.0, end, _POINTS)
    low, high = trend.line.next_between(hours)
    top = 1.1 * max(float(trend.percent.max()), float(trend.line.at(end)))
    faint = [Curve(tuple(hours.tolist()), tuple(np.clip(one, 0, top).tolist()), Drawn.FAINT) for one in (low, high)]
    return Chart(
        curves=(
            *faint,
            Curve(tuple(hours.tolist()), tuple(np.clip(trend.line.at(hours), 0, top).tolist())),
            Curve(tuple(trend.hours.tolist()), tuple(trend.percent.tolist()), Drawn.POINTS),
        ),
        x_label="separator hours of the rasp bars",
        y_label=f"machine loss, % of crop: {trend.combine}, {trend.crop} (dots: where the next check lies, 90 %)",
        x_end=end,
        y_high=top,
    )
