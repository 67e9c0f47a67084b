"""Help for each section: what it is for, how to begin, what to beware of. Short, and in the words of the pages."""

from django.utils.translation import gettext_lazy as _lazy

from reports.help import field_texts as field
from reports.help.model import Part, Topic, Way

TODAY = Topic(
    "today",
    _lazy("Today"),
    _lazy("What needs you, the most urgent first. When nothing does, it says so."),
    (
        Part(
            _lazy("How to read it"),
            (
                _lazy(
                    "A triangle and a word mean late; a half-filled ring means soon; a line is for your information."
                ),
                _lazy("A line goes away when the thing is done, not when you have read it."),
                _lazy(
                    "Stops, people still out and the law’s clocks stand on top. They cannot be turned off."
                ),
                _lazy("The same list comes by e-mail once a day if you want it: My details, What I am sent."),
            ),
        ),
        Part(
            _lazy("If you look after the club"),
            (
                _lazy(
                    "While the club is being set up, a card says what is missing. A "
                    "step is ticked by the records themselves."
                ),
                _lazy(
                    "What the club does not need can be put aside there, with the reason for whoever comes after you."
                ),
            ),
        ),
    ),
)
LAND = Topic(
    "land",
    _lazy("Land"),
    _lazy(
        "Every field, who has a say over it, what they agreed to, and whether it may be searched on a day."
    ),
    (
        Part(
            _lazy("From a yes at the kitchen table to an open gate"),
            (
                _lazy("Add the landholder. They need no account."),
                _lazy("Add the site: a short code, a name, its boundary drawn, read from a file or pasted."),
                _lazy(
                    "On the site’s page say who owns it and who farms it. A tenant "
                    "alone usually cannot agree for an owner."
                ),
                _lazy(
                    "Write down the permission: fields, days, heads, depth, what happens to finds. "
                    "Record each consent with its paper."
                ),
                _lazy(
                    "Record that you looked for protected places. A clear look grows old; "
                    "it is asked again each year."
                ),
                _lazy("Mark the permission as granted. The gate then says open, ask first or shut, and why."),
            ),
            ordered=True,
            source=field.CODE,
        ),
        Part(
            _lazy("What the gate knows"),
            (
                _lazy(
                    "Consents and their last days, closed seasons, crops, notice, heads, licences that "
                    "the law asks for, protected places."
                ),
                _lazy(
                    "What nobody has said counts as “ask first”, never as open. The weakest consent decides."
                ),
                _lazy("The calendar on a site’s page shows the whole year."),
            ),
        ),
        Part(
            _lazy("Beware"),
            (
                _lazy(
                    "A detector in a protected place is an offence in many places, permission "
                    "or not. Keep clear of its edge."
                ),
                _lazy(
                    "Ask the landholder about buried services, old ammunition, livestock, spraying and shoots, "
                    "and write it on the site’s page."
                ),
                _lazy("This is no legal advice: the authority of the place decides."),
            ),
            caution=True,
            source=_lazy(
                "Ancient Monuments and Archaeological Areas Act 1979, section 42, for England, Wales and Scotland; "
                "elsewhere the law packs"
            ),
        ),
    ),
    (
        Way("permissions:site_list", _lazy("Sites and the gate")),
        Way("finds:pack_list", _lazy("What the law packs hold")),
    ),
)
HUNTS = Topic(
    "hunts",
    _lazy("Hunts"),
    _lazy("Outings: planning, places, the roll, holes until the last is filled, and closing."),
    (
        Part(
            _lazy("A hunt from plan to close"),
            (
                _lazy("Plan it on a permission. The gate is asked before anything is saved."),
                _lazy("Open it for sign-up. Who comes too late stands on the waiting list in order."),
                _lazy(
                    "Write down the risks and read the briefing aloud. The emergency card "
                    "belongs in the leader’s pocket, on paper."
                ),
                _lazy(
                    "Sign everybody in and everybody out. The hunt does not close while somebody "
                    "is out or a hole is open."
                ),
                _lazy("Close it, then issue the visit report: the landholder waits for it, within a week."),
            ),
            ordered=True,
        ),
        field.BEFORE,
        field.GATE,
        field.EMERGENCY,
        field.LEAVE,
    ),
    (Way("hunts:list", _lazy("Hunts")), Way("hunts:drills", _lazy("Drills: stop, do this, call"))),
)
FIELD = Topic(
    "field",
    _lazy("The field page"),
    _lazy(
        "For wet gloves and no signal: holes, finds, ground readings and incidents, kept on "
        "the phone until they can be sent."
    ),
    (
        Part(
            _lazy("How it works"),
            (
                _lazy(
                    "Open it at home once, with a signal, after you have a place on "
                    "the hunt. From then on it works without."
                ),
                _lazy(
                    "Each record is kept on the phone the moment you save it. The line on "
                    "top says how many wait to be sent."
                ),
                _lazy("They go by themselves when there is a signal. Nothing is sent twice."),
                _lazy(
                    "Do not sign out and do not clear the browser while something waits. If it "
                    "will not go, save it as a file."
                ),
                _lazy(
                    "A place is only as good as the phone says. Wait for a small number of metres before you take it."
                ),
            ),
        ),
        field.SWEEP,
        field.DIG,
    ),
    (Way("field:shell", _lazy("The field page")), Way("field:parked", _lazy("Records that need a look"))),
)
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
        Way("finds:pack_list", _lazy("What the law packs hold")),
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
