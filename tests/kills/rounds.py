"""Kill after kill: what is done is taken away at a random moment of it, then the log is looked through and gone on with."""

from __future__ import annotations

import random
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from dataclasses import dataclass, field
from io import StringIO
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from tests.kills.acts import ACTS, Act, do
from tests.kills.killing import Ended, killed, left_alone
from tests.kills.own_farms import OwnFarms, own_farms
from tests.kills.worlds import World, world
from tests.own_server import own_server
from tests.servers import quick_folder

#: a killed client, or a server that is killed under its client and started again
CLIENT, SERVER = "wearlog", "the server"
#: how often what was not done is done after it, to its end
_DONE_AGAIN = 1 / 4


@dataclass
class Tally:
    """How the kills of one act on one database ended."""

    kills: int = 0
    nothing: int = 0
    untold: int = 0
    told: int = 0
    went_on: int = 0

    def line(self) -> str:
        return f"{self.kills:6} {self.nothing:14} {self.untold:14} {self.told:14}"


@dataclass
class Killer:
    """Does each act now and then, and kills it."""

    farms: OwnFarms
    scratch: Path
    chance: random.Random
    tallies: dict[tuple[str, str, str], Tally] = field(default_factory=dict)
    tries: int = 3
    _lasts: dict[tuple[str, bool], float] = field(default_factory=dict)

    def load_all(self) -> None:
        """Do everything once here: what is imported late must be there before the forks, or kills would mostly hit imports."""
        for act, on_server, whom in cases():
            if whom == CLIENT:
                with (
                    world(self.farms, on_server=on_server, old=act.old, scratch=self.scratch) as made,
                    redirect_stdout(StringIO()) as said,
                    redirect_stderr(said),
                ):
                    do(act, made)

    def kill(self, act: Act, *, on_server: bool, whom: str = CLIENT) -> None:
        """One kill. AssertionError when a promise is broken."""
        longest = self._longest(act, on_server=on_server)
        with world(self.farms, on_server=on_server, old=act.old, scratch=self.scratch) as made:
            before = None if act.old else self.farms.mark
            seconds = self.chance.uniform(0.0, longest)
            ended = self._kill(act, made, seconds, whom)
            made.settle()
            done = act.was_done(made, before)
            self._look(act, ended, whom, done=done)
            if not done and self.chance.random() < _DONE_AGAIN:
                # whoever comes next does it, as if nothing had been
                self._left_alone(act, made)
                made.settle()
                assert act.was_done(made, before), f"{act.name} cannot be done any more"
        tally = self.tallies.setdefault((act.name, "server" if on_server else "file", whom), Tally())
        tally.kills += 1
        tally.nothing += not done
        tally.untold += done and not ended.done
        tally.told += done and ended.done

    def _kill(self, act: Act, made: World, seconds: float, whom: str) -> Ended:
        said = self.scratch / "said"
        if whom == CLIENT:
            return killed(lambda: do(act, made), seconds, said)

        def end_server() -> None:
            time.sleep(seconds)
            self.farms.server.kill()
            self.farms.server.start()

        return left_alone(lambda: do(act, made), end_server, said)

    def _look(self, act: Act, ended: Ended, whom: str, *, done: bool) -> None:
        said = (self.scratch / "said").read_text("utf-8", "replace")
        if ended.done:
            assert done, f"'{act.name}' was said to be done and is not there"
        elif whom == CLIENT:
            assert not ended.failed, f"{act.name} failed by itself: {ended.failed}\n{said}"
        else:
            assert "Traceback" not in said, said
            assert "exit code 5" in ended.failed, f"{act.name}: {ended.failed}\n{said}"
            if "nothing was saved" in said:
                assert not done, f"'{act.name}' was said to be lost and is there: {said}"

    def _left_alone(self, act: Act, made: World) -> float:
        said = self.scratch / "said"
        ended = left_alone(lambda: do(act, made), lambda: None, said)
        assert ended.done, f"{act.name}: {ended.failed}\n{said.read_text('utf-8', 'replace')}"
        return ended.seconds

    def _longest(self, act: Act, *, on_server: bool) -> float:
        """How long the act takes here when nobody disturbs it; the first kills would else all come too early or too late."""
        key = (act.name, on_server)
        if key not in self._lasts:
            took = []
            for _ in range(self.tries):
                with world(self.farms, on_server=on_server, old=act.old, scratch=self.scratch) as made:
                    took.append(self._left_alone(act, made))
            self._lasts[key] = 1.1 * sorted(took)[self.tries // 2]
        return self._lasts[key]

    def report(self) -> Iterator[str]:
        """Yield the table of what happened."""
        head = ("act", "log in", "killed", "kills", "nothing done", "done, untold", "done and told")
        yield "{:8} {:7} {:11} {:>6} {:>14} {:>14} {:>14}".format(*head)
        for (act, place, whom), tally in sorted(self.tallies.items()):
            yield f"{act:8} {place:7} {whom:11} {tally.line()}"
        total = Counter[str]()
        for tally in self.tallies.values():
            total.update(kills=tally.kills, nothing=tally.nothing, untold=tally.untold, told=tally.told)
        yield f"{'all':28} " + Tally(total["kills"], total["nothing"], total["untold"], total["told"]).line()


@contextmanager
def killer(seed: int, tries: int = 3) -> Iterator[Killer]:
    """Make server and farms for as many kills as follow."""
    with (
        pytest.MonkeyPatch.context() as patch,
        TemporaryDirectory(prefix="wearlog-kills-", dir=quick_folder()) as folder,
        own_server() as server,
    ):
        for name in ("WEARLOG_DB", "WEARLOG_HOME", "WEARLOG_DEVICE"):
            patch.setenv(name, "")
        farms_folder = Path(folder, "farms")
        farms_folder.mkdir()
        with own_farms(server, farms_folder) as farms:
            one = Killer(farms, Path(folder), random.Random(seed), tries=tries)
            one.load_all()
            yield one


def cases() -> list[tuple[Act, bool, str]]:
    """Every act in a file and on a server, the process killed; on a server the server too."""
    plain = [(act, on_server, CLIENT) for act in ACTS for on_server in (False, True)]
    return plain + [(act, True, SERVER) for act in ACTS]
