"""Help for finds, heritage, reports, the club, and for landholders. Short, and in the words of the pages."""

from django.utils.translation import gettext_lazy as _lazy

from reports.help import field_texts as field
from reports.help.model import Part, Topic, Way

FINDS = Topic(
    "finds",
    _lazy("Finds"),
    _lazy(
        "Each object with its number, its place and how well that is known, who has it, and what may be owed."
    ),
    (
        field.FIND,
        Part(
            _lazy("Who sees the place"),
            (
                _lazy(
                    "You see your own finds in full; other members see the square kilometre, the public nothing."
                ),
                _lazy(
                    "A locked find is seen by its finder, that hunt’s leader and the "
                    "committee, and each look is written down."
                ),
                _lazy(
                    "Photographs lose what the camera wrote into them about the place before anybody else gets them."
                ),
            ),
        ),
        Part(
            _lazy("Who holds it"),
            (
                _lazy(
                    "An object moves only by a hand-over that the receiver signs. The "
                    "page shows all holders, in order."
                ),
                _lazy("Boxes with drying gel are looked at when they are due; wet metal is never sealed in."),
            ),
            source=_lazy("Conservation notes of the national finds scheme of England and Wales (2005)"),
        ),
    ),
    (Way("finds:list", _lazy("Finds")), Way("finds:custody_list", _lazy("Hand-overs"))),
)
HERITAGE = Topic(
    "heritage",
    _lazy("Heritage"),
    _lazy(
        "Cases: what may have to be told to whom, by which clause and by when, until "
        "each object is where the decision sends it."
    ),
    (
        Part(
            _lazy("How a case goes"),
            (
                _lazy(
                    "A case opens by itself when the facts of a find meet a test of the law, and the place locks."
                ),
                _lazy(
                    "The clock runs from the earliest day anybody believed it. The finder "
                    "may always report alone; record that."
                ),
                _lazy("Read the report before it is sent: what is not known stands there as not known."),
                _lazy(
                    "“No duty” takes two of the committee who neither found it nor led that hunt. A report takes one."
                ),
                _lazy("After the decision, custody shows the way home. Then the case closes."),
            ),
            ordered=True,
        ),
        Part(
            _lazy("Beware"),
            (
                _lazy(
                    "The pages compare what was typed with the text of the law. They do not say "
                    "what a thing is or what it is worth."
                ),
                _lazy(
                    "When in doubt report early, uncleaned, with the place. The authority of the place decides."
                ),
                _lazy(
                    "Human remains, ammunition and aircraft have drills of their own: stop, keep away, call."
                ),
            ),
            caution=True,
        ),
    ),
    (
        Way("finds:case_list", _lazy("Cases")),
        Way("finds:pack_list", _lazy("What the rules of law hold")),
        Way("hunts:drills", _lazy("Drills: stop, do this, call")),
    ),
)
REPORTS = Topic(
    "reports",
    _lazy("Reports, answers and settlements"),
    _lazy(
        "What was sent to landholders and officers, what they answered, and how the worth of finds is shared."
    ),
    (
        Part(
            _lazy("What to know"),
            (
                _lazy(
                    "A report is put together from the records each time it is looked at. Once issued "
                    "it is frozen, with its day and its number."
                ),
                _lazy("A later change of the records makes a new issue; the first stays as it was sent."),
                _lazy("A landholder’s question or concern stands on Today until it is answered."),
                _lazy(
                    "A settlement shows its whole sum by the terms of the day of "
                    "the hunt. Whoever signs, signs that text."
                ),
            ),
        ),
    ),
)
CLUB = Topic(
    "club",
    _lazy("Club"),
    _lazy("People and their roles, settings, whom you call, backups, and the trail of who did what."),
    (
        Part(
            _lazy("What belongs here"),
            (
                _lazy(
                    "Accounts come by invitation only. A lapsed membership closes the account the "
                    "same day and keeps its records."
                ),
                _lazy(
                    "A role opens what others trusted the club with, so secretary and "
                    "committee sign in with a second step."
                ),
                _lazy("Note each person’s insurance with its last day: it has to cover the day of a hunt."),
                _lazy(
                    "Enter police, heritage officer and whom your law names. Drills without a number help nobody."
                ),
                _lazy(
                    "Backups are made on the server and proved on another machine. A backup "
                    "nobody has brought back is a hope."
                ),
            ),
        ),
    ),
    (Way("people:club", _lazy("Club")), Way("people:me", _lazy("My details"))),
)
LANDHOLDER = Topic(
    "landholder",
    _lazy("For landholders"),
    _lazy(
        "Your own page about your fields: who comes and when, what they did, what they found, what comes back."
    ),
    (
        Part(
            _lazy("What you can do there"),
            (
                _lazy(
                    "Read each visit: day, people, holes and that each was filled, what was found and where it is."
                ),
                _lazy("Say that something came back, ask a question, raise a concern: a person answers."),
                _lazy(
                    "Pause a permission at any time. Nobody comes from that moment on; everybody signed up is told."
                ),
                _lazy("Money, and papers to sign, open with a code sent to your own address."),
            ),
        ),
        Part(
            _lazy("Your address is private"),
            (
                _lazy(
                    "You need no account. Whoever has the address sees your page, so please do not pass it on."
                ),
                _lazy("If it stops working, it ran out or a newer one was sent. Ask the club for another."),
            ),
        ),
        Part(
            _lazy("Please tell the club"),
            (
                _lazy(
                    "Buried pipes and cables, drains, pits, old ammunition, shafts: anything below that can hurt."
                ),
                _lazy(
                    "Livestock, spraying, shoots, sown crops, nesting birds, and who else has a say over the field."
                ),
                _lazy(
                    "If somebody digs at night or says they come from the club and you do not "
                    "know them: do not approach them. Call the police."
                ),
            ),
            caution=True,
        ),
    ),
)
