"""What a sweep can have met: random and repeated coverage, expected detection, depth, and estimates of what
is left.

Every function is geometry or textbook statistics; none is a measured curve of a machine.
"""

import math

from hunts.sweep import Settings, SweepError, a_share, sweep_s, walking_m_s, within
from tongue import figure
from tongue import say as _


def random_cover(swept_m2: float, area_m2: float) -> float:
    """The share of ground met when `swept_m2` of sweeping falls anywhere on `area_m2`. Raises SweepError.

    F5: C = 1 - exp(-z), z = swept/area. Source: random search, Koopman, *Search and Screening* (1946).
    """
    within("Area", area_m2, 1e-6, 1e9, "m²")
    return 1 - math.exp(-within(_("Swept ground"), swept_m2, 0, 1e12, "m²") / area_m2)


def bowl_volume_share(overlap: float) -> float:
    """The share of the ground's volume within reach that straight sweeps with this overlap examine.

    F6: V = 1 - (1-o)²/3 for a field that reaches down like a parabola. Reproduces the published 67 %
    without and 92 % with half overlap. Raises SweepError.
    """
    return 1 - (1 - a_share("Overlap", overlap)) ** 2 / 3


def depth_reached_everywhere(overlap: float) -> float:
    """The depth reached under every point, as a share of the greatest depth. F6: 1 - (1-o)².

    Raises SweepError.
    """
    return 1 - (1 - a_share("Overlap", overlap)) ** 2


def detection_after(passes: int, chance: float, cover: float = 1.0, *, same_lanes: bool = False) -> float:
    """The chance that an object in range was met after `passes`. Raises SweepError.

    F7: 1 - (1 - pC)^k where each pass covers its own share C at random, C(1 - (1-p)^k) along the same lanes.
    """
    within("Passes", passes, 0, 1000, "passes")
    a_share(_("Chance per pass"), chance)
    a_share("Cover", cover)
    if same_lanes:
        return cover * (1 - (1 - chance) ** passes)
    return 1 - (1 - chance * cover) ** passes


def objects_in_ground(found: int, cover: float, chance: float) -> float:
    """How many objects were there, from what was found. F8: N = found/(C p). Raises SweepError at C p = 0."""
    within("Found", found, 0, 1e7, "objects")
    met = a_share("Cover", cover) * a_share(_("Chance per pass"), chance)
    if met == 0:
        raise SweepError(
            _("Cover %(cover)s and chance %(chance)s: nothing could be found; give both above 0.")
            % {"cover": figure(f"{cover:g}"), "chance": figure(f"{chance:g}")},
            met,
        )
    return found / met


def two_pass_removal(first: int, second: int) -> tuple[float, float]:
    """Objects that were there and the chance per pass, from what two equal passes took: (N, p).

    F9: N = n1²/(n1-n2), p = 1 - n2/n1, for n1 > n2. Raises SweepError when the second pass took as many or
    more. Source: Seber and Le Cren 1967, *Journal of Animal Ecology* 36 (cited from memory).
    """
    within(_("First pass"), first, 1, 1e7, "objects")
    within(_("Second pass"), second, 0, 1e7, "objects")
    if second >= first:
        raise SweepError(
            _(
                "The second pass took %(second)s after %(first)s in the first; the estimate needs fewer "
                "then. Sweep again or count only equal passes."
            )
            % {"second": second, "first": first},
            second,
        )
    return first**2 / (first - second), 1 - second / first


def depth_for_size_m(
    coil_radius_m: float, known_size_m: float, known_depth_m: float, size_m: float
) -> float | None:
    """A rough depth at which a similar object of another size is met, or None if it never is.

    Lengths in m; sizes are diameters. F10: z2 = sqrt((R² + z1²) r2/r1 - R²), from the field of a loop on
    its axis; good soil, same shape and metal. Raises SweepError.
    """
    within(_("Coil radius"), coil_radius_m, 0.01, 0.6, "m")
    within(_("Known size"), known_size_m, 0.001, 1, "m")
    within(_("Known depth"), known_depth_m, 0, 3, "m")
    within("Size", size_m, 0.001, 1, "m")
    squared = (coil_radius_m**2 + known_depth_m**2) * size_m / known_size_m - coil_radius_m**2
    return math.sqrt(squared) if squared >= 0 else None


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
