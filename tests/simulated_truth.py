"""What each check would show if a wire were shorted to ground at one place: from the drawing alone, not from the maths."""

from __future__ import annotations

from dataclasses import dataclass

from wearlog.facts.closed_lists import CheckKind, CheckVerdict, NodeKind
from wearlog.faults.circuit import CONSUMERS, Circuit


@dataclass(frozen=True)
class ShortToGround:
    """A short at `node` that is there while one measures (the header is held where it shows)."""

    circuit: Circuit
    node: str

    def verdict(self, kind: CheckKind, at: str) -> CheckVerdict:
        return CheckVerdict.BAD if self._shows(kind, at) else CheckVerdict.GOOD

    def _shows(self, kind: CheckKind, at: str) -> bool:
        blown = self.circuit.first_fuses_above(self.node)
        if kind in (CheckKind.LOOK, CheckKind.CONTINUITY) and self.circuit.node(at).kind is NodeKind.FUSE:
            return at in blown
        if kind in (CheckKind.LOOK, CheckKind.WIGGLE):
            return at == self.node
        if kind is CheckKind.UNPLUG:
            return at == self.node or self.node in self.circuit.downstream(at)
        if kind is CheckKind.UNWRAP:
            return at == self.node
        if kind is CheckKind.LAMP:
            # bright with all unplugged: the harness; out when a plug is opened: there or beyond; bright when plugged in: that load
            is_load = self.circuit.node(self.node).kind in CONSUMERS
            if self.circuit.node(at).kind is NodeKind.FUSE:
                return at in blown and not is_load
            return at == self.node or (not is_load and self.node in self.circuit.downstream(at))
        if kind in (CheckKind.VOLTAGE, CheckKind.TRY_IT):
            return any(at in self.circuit.downstream(fuse) for fuse in blown)
        return False
