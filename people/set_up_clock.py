"""Which clock the club lives by, said in words beside the law's: days, seasons and the law's clocks hang on it."""

from datetime import datetime
from zoneinfo import ZoneInfo

from django.conf import settings
from django.utils.timezone import localtime

from law.pack import load_pack, pack_codes


def clock_words(law: str, *, at: datetime) -> dict[str, str]:
    """`zone` and `time` of the club, and `law_zone` where the law's clocks show another time now."""
    own = load_pack(law).tz if law in pack_codes() else ""
    here = localtime(at)
    differs = bool(own) and here.utcoffset() != at.astimezone(ZoneInfo(own)).utcoffset()
    return {"zone": settings.TIME_ZONE, "time": f"{here:%H:%M}", "law_zone": own if differs else ""}
