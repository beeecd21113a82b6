"""Claims under warranty as a list in which they are sent and settled, and what broke far too early."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING, ClassVar
from uuid import UUID

from textual.binding import Binding, BindingType

from wearlog.logbook.said.measures import money
from wearlog.present.digits import amount
from wearlog.tui.questions.deciding import claims_now
from wearlog.tui.questions.parts import claim_sent, claim_settled
from wearlog.tui.screens.deciding import DecisionScreen
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.typed import moment_reader, needed
from wearlog.tui.widgets.form_line import FormField, FormLine

if TYPE_CHECKING:
    from wearlog.reckoning.parts.claims import Claim
    from wearlog.tui.door import Door
    from wearlog.tui.questions.deciding import Decided


class ClaimPaidScreen(FormScreen):
    """The form of what came of a claim that was sent."""

    TITLE: ClassVar[str] = "A CLAIM WAS ANSWERED"
    FIRST: ClassVar[str] = "paid"
    ABOUT: ClassVar[str] = (
        "What they paid for a claim that was sent; 0 is refused. u takes it back: then it is a claim that was sent."
    )

    def __init__(self, breakage_id: UUID) -> None:
        super().__init__()
        self.breakage_id = breakage_id

    def questions(self) -> Iterable[FormLine]:
        paid = needed(money, "What did they pay?", "Write it like 118; 0 is refused.")
        yield FormField("paid", "Paid", paid, hint="0 is refused", say=amount)
        yield FormField("at", "When", moment_reader(self.now), hint="now", say=self.say_moment)

    def summary(self) -> str:
        paid = self.answer("paid")
        return f"claim settled: {amount(paid)} paid" if paid else "claim settled: refused"

    def saving(self) -> Callable[[Door], str]:
        return partial(
            claim_settled, breakage_id=self.breakage_id, paid_minor=self.answer("paid"), at=self.answer("at")
        )


class ClaimsScreen(DecisionScreen):
    """What broke within its terms of warranty, and what broke far too early."""

    AREA: ClassVar[str] = "daybook"
    FOOT: ClassVar[tuple[str, ...]] = ("sent", "paid")
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f", "sent", "sent", tooltip="the claim under the cursor is sent"),
        Binding("F", "paid", "paid", tooltip="what they paid for the claim under the cursor"),
    ]
    ABOUT: ClassVar[str] = (
        "What broke within the terms of its part, what a claim is worth, until when, and how far it is. f: the one under the "
        "cursor is sent; F: it is answered, with what they paid; u takes either back. The part's sheet holds the terms. Far too "
        "early: places whose parts failed long before their kind does. by chance: one at least of all places does so without a "
        "reason; upstream: something there eats them; bad part: the last of them was bad."
    )

    def question(self) -> Callable[[Door], Decided]:
        return claims_now

    @property
    def claim(self) -> Claim | None:
        """The claim under the cursor; None of one whose breakage was taken back."""
        row = self.rows.row
        if self.shown is None or row is None or self.place:
            return None
        sheet = self.shown.sheet
        claim = next((one for one in sheet.rows if sheet.key_of(one) == row.key), None)
        return claim if claim is not None and claim.breakage is not None else None

    @property
    def breakage_id(self) -> UUID | None:
        """The breakage of that claim."""
        return self.claim.breakage.id if self.claim is not None and self.claim.breakage is not None else None

    def action_sent(self) -> None:
        """Note that the claim under the cursor is sent."""
        if (found := self.breakage_id) is None:
            self.say("There is no claim under the cursor.", alarm=True)
        else:
            self.screens.ask(self, "enter", partial(claim_sent, breakage_id=found), self._entered)

    def action_paid(self) -> None:
        """Open the form of what they paid."""
        if (found := self.breakage_id) is None:
            self.say("There is no claim under the cursor.", alarm=True)
        elif self.claim is not None and self.claim.sent is None:
            self.say("This claim is not sent yet: f notes that it is.", alarm=True)
        else:
            self.screens.push(ClaimPaidScreen(found))

    def _entered(self, said: str) -> None:
        self.screens.say(said)
        self.screens.something_entered()
