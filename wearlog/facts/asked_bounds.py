"""Between which figures lies what somebody says of a decision, beside the log: commands and forms take the same."""

from __future__ import annotations

from typing import Final

#: of the machine that is offered: field hours, years, hours up to which repairs are paid
OTHER_HOURS: Final = (0, 50_000)
OTHER_YEARS: Final = (0, 60)
OTHER_WARRANTY_HOURS: Final = (0, 20_000)
PERCENT: Final = (0, 100)
#: who work on a day without cutting
PEOPLE: Final = (1, 20)
#: per cent a year on what is tied up in a machine (common practice, no source)
USUAL_INTEREST: Final = 6.0
