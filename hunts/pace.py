"""The pace a track shows against the pace its plan needs: geometry, no measured curve of a machine."""

from hunts.sweep import Settings, sweep_s, walking_m_s, within
from tongue import figure
from tongue import say as _


def overlap_walked(settings: Settings, walked_m_s: float) -> float:
    """The overlap a forward pace really leaves; below 0, coils' lengths missed between sweeps.

    F1 turned round: o = 1 - u t / c. Raises SweepError for a pace that is no walk.
    """
    return 1 - within("Pace", walked_m_s, 0, 3, "m/s") * sweep_s(settings) / settings.coil_m


def say_pace(settings: Settings, walked_m_s: float) -> str:
    """The pace a track shows against the pace the plan needs, said plainly. Raises SweepError."""
    overlap, planned = overlap_walked(settings, walked_m_s), walking_m_s(settings) * 60
    said = _("Walked %(value)s m a minute; the plan needs %(planned)s.") % {
        "value": figure(f"{walked_m_s * 60:.1f}"),
        "planned": figure(f"{planned:.1f}"),
    }
    if overlap < 0:
        return _("%(said)s At that pace %(value)s %% of the ground lies between the sweeps.") % {
            "said": said,
            "value": figure(f"{100 * overlap / (overlap - 1):.0f}"),
        }
    if overlap < settings.overlap - 0.05:
        return _("%(said)s The coil overlaps by %(value)s %%, not %(value2)s %%.") % {
            "said": said,
            "value": figure(f"{100 * overlap:.0f}"),
            "value2": figure(f"{100 * settings.overlap:.0f}"),
        }
    return _("%(said)s The overlap holds.") % {"said": said}
