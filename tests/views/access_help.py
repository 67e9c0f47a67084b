"""Who reads the help: every account, the landholders' part everybody; the handbook has numbers in it."""

from tests.views.access import INSIDERS, Row, who

ROWS = [
    Row("reports:help", who(f"stranger {INSIDERS}", 200)),
    Row("reports:help_topic", who(f"stranger {INSIDERS}", 200), kwargs=lambda w: {"topic": "land"}),
    Row("reports:help_topic", who(f"stranger {INSIDERS}", 200), kwargs=lambda w: {"topic": "field"}),
    Row("reports:help_landholder", who(f"anonymous link expired stranger {INSIDERS}", 200)),
    Row("reports:handbook_pdf", who(INSIDERS, 200), otherwise=403),
]
