"""The rig's skin after plugging in. Twin of static/js/engine/skin.js, fed from tests/cases/skin.json.

From 5 V the ground is checked before the rig is used, from 10 V the breaker goes off, on every supply.
Both are own choices. On a campground supply nothing takes that back: volts on the skin that vanish under
a low-impedance meter come through an open ground. A floating source lifts the skin by its own filter, a
few nanofarads: only there what vanishes is harmless.
"""

from dataclasses import dataclass
from typing import Final

from fieldlog.model.rulebook import Rulebook

FLOATING: Final = ("generator", "inverter")


@dataclass(frozen=True)
class Skin:
    """What was read or felt at the rig's skin.

    Parameters
    ----------
    volts : float or None
        Skin against an earth, by a high-impedance meter [V].
    low_impedance_volts : float or None
        The same two places, by a low-impedance meter [V]; it decides on a floating source only.
    is_earth_proved : bool or None
        Whether a hot contact read the full volts against that earth before plugging in; None: nobody said.
    is_detected : bool or None
        What a non-contact detector told instead.
    is_tingle_felt : bool
        Whether anyone felt a tingle.
    """

    volts: float | None = None
    low_impedance_volts: float | None = None
    is_earth_proved: bool | None = None
    is_detected: bool | None = None
    is_tingle_felt: bool = False


@dataclass(frozen=True)
class SkinLevel:
    """How grave the skin is, the border that was used [V], and the key of its words in the rulebook.

    The level is "stop", "limit", "note" (a floating source's own filter), "none" or "not-tested".
    """

    level: str
    limit_volts: float
    words: str


def skin_level(skin: Skin, supply: str, rulebook: Rulebook) -> SkinLevel:
    """Judge the rig's skin after plugging in.

    Parameters
    ----------
    skin : Skin
        What was read or felt.
    supply : str
        Kind of supply; one that is not known to float is judged as one that does not.
    rulebook : Rulebook
        For the borders.

    Returns
    -------
    SkinLevel
    """
    limit, stop = (rulebook.limit(f"ground-lifted-{level}") for level in ("limit", "stop"))
    if skin.is_tingle_felt or skin.is_detected:
        return SkinLevel("stop", limit, "stop")
    if skin.volts is None:
        return SkinLevel("not-tested", limit, "not-tested")
    low = skin.low_impedance_volts
    is_floating = supply in FLOATING
    if skin.volts >= limit and low is not None and low < limit:
        return SkinLevel("note" if is_floating else "stop", limit, "vanishes" if is_floating else "open-path")
    worst = max(skin.volts, low) if is_floating and low is not None else skin.volts
    if worst < limit:
        return _clean(skin, is_floating, limit)
    words = "-floating" if is_floating and low is None else ""
    return (
        SkinLevel("stop", stop, f"live{words}")
        if worst >= stop
        else SkinLevel("limit", limit, f"limit{words}")
    )


def _clean(skin: Skin, is_floating: bool, limit_volts: float) -> SkinLevel:
    """Judge a reading below the border: against an earth that nobody proved it shows nothing."""
    if skin.is_earth_proved is False and not is_floating:
        return SkinLevel("not-tested", limit_volts, "earth-not-proved")
    return SkinLevel("none", limit_volts, "none")
