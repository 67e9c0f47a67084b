"""Who gets what of the field page. Its JSON addresses answer 401 instead of sending a phone to the sign-in page."""

from tests.views.access import INSIDERS, Row, who

NOBODY = who("anonymous link expired", 401) | who("stranger", 403)
IN = who(INSIDERS, 200) | NOBODY

ANYBODY = who(INSIDERS, 200) | who("anonymous link expired stranger", 200)

ROWS = [
    Row("field:shell", ANYBODY),
    Row("field:worker", ANYBODY),
    Row("field:manifest", ANYBODY),
    Row("field:me", IN),
]
