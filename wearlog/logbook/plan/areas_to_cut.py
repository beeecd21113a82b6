"""An area to cut as a person plans it, and the areas of a season with what they are chosen from. Reads and writes nothing."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from uuid import UUID

from wearlog.facts.closed_lists import Ground
from wearlog.facts.farm_settings import FarmSettings
from wearlog.facts.machines import Machine
from wearlog.facts.work import Crop, Field, PlannedArea


@dataclass(frozen=True, slots=True)
class AreaToCut:
    """An area as a person plans it: by field, or by ground. Ground None is the field's own; machines None: shared over all."""

    area_square_metres: int
    field_id: UUID | None = None
    ground: Ground | None = None
    crop_id: UUID | None = None
    combine_id: UUID | None = None
    header_id: UUID | None = None


@dataclass(frozen=True, slots=True)
class PlannedAreas:
    """The areas of one season to come, in the order in which they were entered, and what an area is chosen from.

    Attributes
    ----------
    harvest_year : int
        The first season to come that has a plan, else the first to come, else that of the next harvest.
    has_plan : bool
        Without one the first area begins it.
    fields, crops, combines, headers : tuples
        By name.
    """

    settings: FarmSettings
    harvest_year: int
    has_plan: bool
    areas: tuple[PlannedArea, ...]
    fields: tuple[Field, ...]
    crops: tuple[Crop, ...]
    combines: tuple[Machine, ...]
    headers: tuple[Machine, ...]

    @property
    def names(self) -> dict[UUID, str]:
        """What the fields, crops and machines are called."""
        rows: tuple[Field | Crop | Machine, ...] = (*self.fields, *self.crops, *self.combines, *self.headers)
        return {one.id: one.name for one in rows}

    def area(self, area_id: UUID | None) -> PlannedArea | None:
        """Return a planned area by its id."""
        return next((one for one in self.areas if one.id == area_id), None)

    def field(self, field_id: UUID | None) -> Field | None:
        """Return a field by its id."""
        return next((one for one in self.fields if one.id == field_id), None)

    def ground_of(self, area: PlannedArea | AreaToCut) -> Ground:
        """Return the ground of an area: its own, else its field's; what nobody noted counts as few stones."""
        field = self.field(area.field_id)
        return area.ground or (field.ground if field is not None else Ground.FEW_STONES)

    def planned_of(self, field_id: UUID, *, but_for: UUID | None = None) -> int:
        """Return how many square metres of a field are planned, one area left out."""
        return sum(one.area_square_metres for one in self.areas if one.field_id == field_id and one.id != but_for)

    def next_field(self) -> Field | None:
        """Return the first field of which nothing is planned yet."""
        return next((one for one in self.fields if not self.planned_of(one.id)), None)

    def usual_ground(self) -> Ground:
        """Return the ground to begin with where no field is chosen: that of the last such area, else what most of the farm is."""
        without_field = [one.ground for one in self.areas if one.field_id is None and one.ground is not None]
        if without_field:
            return without_field[-1]
        acreage: Counter[Ground] = Counter()
        for field in self.fields:
            acreage[field.ground] += field.area_square_metres
        return acreage.most_common(1)[0][0] if acreage else Ground.FEW_STONES
