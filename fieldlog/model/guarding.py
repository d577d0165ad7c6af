"""What the owner noted as guarding each outlet, held against what went dead."""

from dataclasses import dataclass
from enum import StrEnum

from fieldlog.model.rig import Chain, Device, Outlet, Rig


class Disagreement(StrEnum):
    """How a trip test disagrees with the noted guard."""

    STAYED_LIVE = "stayed-live"
    WENT_DEAD = "went-dead"
    NOT_NOTED = "not-noted"


@dataclass(frozen=True)
class Contradiction:
    """A trip test that disagrees with the guard noted for an outlet.

    Parameters
    ----------
    outlet, device : Outlet, Device
        The outlet, and the device that was tripped.
    noted : Device or None
        The device noted as the outlet's guard.
    kind : Disagreement
        How the two disagree.
    trip : Chain
        The trip test that shows it: the newest that speaks of this outlet and device.
    """

    outlet: Outlet
    device: Device
    noted: Device | None
    kind: Disagreement
    trip: Chain

    @property
    def sentence(self) -> str:
        """Say what was seen, what was noted, and what to do."""
        outlet, device = f"“{self.outlet.name}”", f"“{self.device.name}”"
        if self.kind is Disagreement.STAYED_LIVE:
            return (
                f"{outlet} stayed live when {device} tripped, though you noted it as guarded by {device}. "
                "Treat it as unguarded until a new trip test shows it dead."
            )
        if self.noted is None:
            return f"{outlet} went dead when {device} tripped, and no guard is noted for it. Note {device}."
        return (
            f"{outlet} went dead when {device} tripped, though you noted “{self.noted.name}” as its guard. "
            "Both may guard it, or the note is wrong: trip the other one and look."
        )


def contradictions(rig: Rig) -> tuple[Contradiction, ...]:
    """Give every outlet whose noted guard and newest trip tests disagree.

    Parameters
    ----------
    rig : Rig
        The rig with its tests.

    Returns
    -------
    tuple of Contradiction
        In the order of the outlets, then of the devices.
    """
    found = (_compare(rig, outlet, device) for outlet in rig.outlets for device in rig.devices)
    return tuple(each for each in found if each is not None)


def _compare(rig: Rig, outlet: Outlet, device: Device) -> Contradiction | None:
    trip = next((trip for trip in device.trips if _speaks_of(trip, outlet)), None)
    if trip is None:
        return None
    went_dead, is_noted = outlet.id in trip.body["dead"], outlet.guard == device.id
    if went_dead == is_noted:
        return None
    if is_noted:
        kind = Disagreement.STAYED_LIVE
    else:
        kind = Disagreement.NOT_NOTED if outlet.guard is None else Disagreement.WENT_DEAD
    return Contradiction(outlet, device, rig.device(outlet.guard), kind, trip)


def _speaks_of(trip: Chain, outlet: Outlet) -> bool:
    return trip.body["tripped"] is True and outlet.id in (*trip.body["dead"], *trip.body["live"])
