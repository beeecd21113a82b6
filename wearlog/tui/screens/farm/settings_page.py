"""The settings: of the farm, the same for everyone who opens the log, and of this device alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from decimal import Decimal
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from wearlog.errors import RefusedError, UsageError, WearlogError
from wearlog.facts.farm_settings import UNITS, FarmSettings, check_setting, driving_kept
from wearlog.facts.plain_text import one_line
from wearlog.logbook.farm.farm_setting import driving_said
from wearlog.logbook.said.measures import money
from wearlog.tui.questions.farm import SettingsStart, save_settings, settings_said, settings_start
from wearlog.tui.screens.form import FormScreen
from wearlog.tui.themes import INKS
from wearlog.tui.widgets.choice_field import ChoiceField
from wearlog.tui.widgets.form_line import FormField, FormLine
from wearlog.units import plain_number

if TYPE_CHECKING:
    from wearlog.tui.door import Door

#: question -> setting
_KEYS = {
    "farm": "farm_name",
    "currency": "currency",
    "zone": "time_zone",
    "labour": "labour_rate",
    "downtime": "downtime_value_per_hour",
    "source": "downtime_value_source",
    "road": "driving_cost",
    "fast": "driving_speed",
}
UNIT_WORDS = (("us", "acres, feet, inches"), ("metric", "hectares, metres, mm"))


class SettingsScreen(FormScreen):
    """The form of all settings; only what was changed is saved."""

    TITLE: ClassVar[str] = "SETTINGS"
    ABOUT: ClassVar[str] = (
        "The settings of the farm are entries of the log: everybody who opens it sees them, and the history keeps what they were. "
        "What an hour of work and an hour of standing still are worth goes into every cost and plan. The colours, the name of this "
        "device and who enters things here belong to this device alone; they stand in the history beside everything that is "
        "entered on it. On the form of a breakage y goes from one person to the next."
    )

    def __init__(self) -> None:
        super().__init__()
        self.known: SettingsStart | None = None

    def questions(self) -> Iterable[FormLine]:
        yield FormField("farm", "Farm", hint="its name")
        yield ChoiceField("units", "Units", UNIT_WORDS, start=UNITS[0])
        yield FormField("currency", "Currency", read_currency, hint="USD, EUR, ...")
        yield FormField("zone", "Time zone", _zone, hint="this machine's; else like America/Denver")
        yield FormField("labour", "Labour, 1 h", _rate, hint="26.00")
        yield FormField("downtime", "Stood, 1 h", _rate, hint="what an hour of harvest is worth")
        yield FormField("source", "its source", hint="where that figure comes from")
        yield ChoiceField("colours", "Colours", tuple((name, name) for name in INKS), start=self.app.theme)
        yield FormField("device", "This device", one_line, hint="its name in the history")
        yield FormField("person", "Who", one_line, hint="nobody named; who enters things on this device")
        yield FormField("road", "Driving", partial(_driving, "driving_cost"), hint="0.70 for a mile, or 0.45 km")
        yield FormField("fast", "Road speed", partial(_driving, "driving_speed"), hint="45 mph")

    def begin(self) -> None:
        self.screens.ask(self, "start", settings_start, self._take)

    def _take(self, known: SettingsStart) -> None:
        self.known = known
        for name, text in _shown(known.settings).items():
            self.line(name).fill(text)
        for name, usual in zip(("road", "fast"), driving_said(known.settings), strict=True):
            if not self.line(name).text:
                self.line(name).fill("", hint=usual)
        self.line("units").fill(UNIT_WORDS, known.settings.units)
        self.line("device").fill(one_line(known.device))
        self.line("device").display = not known.device_is_fixed
        self.line("person").fill(one_line(known.person))
        risk = f" {known.risk}" if known.risk else ""
        self.show_before(f"The log: {known.log_name}.{risk} Other cabs' logs: Esc, then j.")

    def changed(self, line: FormLine) -> None:
        """Other colours are seen at once."""
        if line.asks == "colours":
            self.screens.action_use_theme(line.read())

    def paint(self) -> None:
        if self.known is not None:
            super().paint()

    def _changes(self) -> dict[str, str]:
        if self.known is None:
            return {}
        before = _shown(self.known.settings)
        changes = {}
        for name, key in _KEYS.items():
            content = self.answer(name)
            if self.line(name).is_typed and self.line(name).text.strip() != before[name] and content:
                changes[key] = content
        if self.answer("units") != self.known.settings.units:
            changes["units"] = self.answer("units")
        return changes

    def _device(self) -> str:
        if self.known is None or self.known.device_is_fixed:
            return ""
        device: str = self.answer("device")
        return "" if device == self.known.device else device

    def _person(self) -> str | None:
        person: str = self.answer("person")
        return None if self.known is None or person == self.known.person else person

    def summary(self) -> str:
        return "; ".join(settings_said(self._changes(), self._device(), self._person()))

    def save(self) -> None:
        """Save, once the settings have been read."""
        if self.known is None:
            self.say("One moment: the log is being read.")
            return
        super().save()

    def saving(self) -> Callable[[Door], str]:
        return partial(save_settings, contents=self._changes(), device=self._device(), person=self._person())

    def blamed(self, error: WearlogError) -> FormLine | None:
        return None


def _shown(settings: FarmSettings) -> dict[str, str]:
    return {
        "farm": one_line(settings.farm_name),
        "currency": settings.currency,
        "zone": settings.time_zone,
        "labour": f"{Decimal(settings.labour_rate_minor) / 100:.2f}",
        "downtime": f"{Decimal(settings.downtime_minor) / 100:.2f}",
        "source": one_line(settings.downtime_source),
        "road": settings.driving_cost,
        "fast": settings.driving_speed.replace(" mi", " mph").replace(" km", " km/h"),
    }


def _driving(key: str, text: str) -> str:
    return driving_kept(key, text, "mi") and one_line(text) if text.strip() else ""


def read_currency(text: str) -> str:
    clean = one_line(text).upper()
    if clean and not (len(clean) == 3 and clean.isalpha() and clean.isascii()):
        raise UsageError(f"'{clean}' is not a currency.", "Write its three letters, like USD or EUR.")
    return clean


def _zone(text: str) -> str:
    clean = one_line(text)
    if clean:
        _check("time_zone", clean)
    return clean


def _rate(text: str) -> str:
    clean = one_line(text)
    if not clean:
        return ""
    money(clean)
    content = f"{plain_number(clean):.2f}"
    _check("labour_rate", content)
    return content


def _check(key: str, content: str) -> None:
    try:
        check_setting(key, content)
    except RefusedError as error:
        raise UsageError(error.message.replace("labour_rate", "an hour"), error.hint) from error
