"""What an acre costs: by machine, subsystem, part, season, crop or field; the repair curves; to what age a combine is cheapest."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType

from wearlog.tui.questions.asked import OfferTyped, TradeTyped
from wearlog.tui.questions.costs import CostsShown, costs
from wearlog.tui.screens.sections import SECTION_KEYS, SectionsScreen

if TYPE_CHECKING:
    from wearlog.tui.section import Section

#: per cent a year, one after the other
_INTEREST = (0.0, 3.0, 6.0, 9.0)


class CostsScreen(SectionsScreen):
    """The costs."""

    AREA: ClassVar[str] = "costs"
    ABOUT: ClassVar[str] = (
        "What an acre costs, and what of it is parts, labour, service and downtime. The arrows go through the splits: machine, "
        "subsystem, part, season, crop, field; < and > choose one season or all, and the answer is of the same span. The bars "
        "show the same; x beside a bar is what was paid for repairs (parts, labour, service) over what the published curve "
        "expects of the same hours, on a strip from a tenth to ten times with ┼ at 1. l changes the interest of economic life, k "
        "weighs keeping a combine against trading it, t changes between chart and table."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        *SECTION_KEYS,
        Binding("less_than_sign", "season(-1)", "season", tooltip="the season before; before the first: all"),
        Binding(
            "greater_than_sign",
            "season(1)",
            "season after",
            show=False,
            tooltip="the season after; after the last: all",
        ),
        Binding("l", "interest", "interest", tooltip="another interest for the economic life"),
        Binding("k", "trade", "trade", tooltip="keep the combines, or trade one: where it turns; work for others"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.shown: CostsShown | None = None
        self.year: int | None = None
        self.interest = _INTEREST[0]
        #: the offers of work for others and for a combine that were weighed last
        self.offer = OfferTyped()
        self.other = TradeTyped()

    def action_trade(self) -> None:
        """Weigh keeping the combines against trading one."""
        from wearlog.tui.screens.deciding import TradeScreen

        self.screens.push(TradeScreen(self.offer, self.other, self._keep_offers))

    def _keep_offers(self, offer: OfferTyped, other: TradeTyped) -> None:
        self.offer, self.other = offer, other

    def refresh_answer(self) -> None:
        self.screens.ask(self, "costs", partial(costs, year=self.year, interest=self.interest), self._show)

    def _show(self, shown: CostsShown) -> None:
        self.shown = shown
        self.year = shown.year
        self.show_answer(*shown.answer)
        self.show_sections(shown.sections, shown.about)

    def has_twin(self, section: Section) -> bool:
        return section.name in ("Repair curve", "Economic life")

    def action_season(self, step: int) -> None:
        """Go from all seasons to the last one, to the one before it, and so on."""
        if self.shown is None or not self.shown.years:
            return
        order = [None, *self.shown.years]
        at = order.index(self.year) if self.year in order else 0
        self.year = order[(at + step) % len(order)]
        self.say("Working it out ...")
        self.screens.ask(self, "costs", partial(costs, year=self.year, interest=self.interest), self._show_season)

    def _show_season(self, shown: CostsShown) -> None:
        self._show(shown)
        self.say(f"Costs of {shown.about}.")

    def action_interest(self) -> None:
        """Change the interest."""
        self.interest = _INTEREST[(_INTEREST.index(self.interest) + 1) % len(_INTEREST)]
        self.say(f"Economic life with {self.interest:g} % interest a year.")
        self.refresh_answer()
