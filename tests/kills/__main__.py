"""`python -m tests.kills 1000`: so many kills, the table of how they ended, exit code 1 at the first broken promise."""

from __future__ import annotations

import sys
import time

from tests.kills.rounds import SERVER, cases, killer


def main(kills: int, seed: int) -> None:
    """Kill processes over all cases; servers, which take longest to come back, every fourth time round."""
    begun = time.monotonic()
    with killer(seed) as one:
        done = turn = 0
        while done < kills:
            for act, on_server, whom in cases():
                if done == kills or (whom == SERVER and turn % 4):
                    continue
                one.kill(act, on_server=on_server, whom=whom)
                done += 1
                if done % 100 == 0:
                    sys.stdout.write(f"{done} kills, {time.monotonic() - begun:.0f} s\n")
                    sys.stdout.flush()
            turn += 1
        sys.stdout.write("\n".join([*one.report(), f"{time.monotonic() - begun:.0f} s, seed {seed}", ""]))


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 15)
