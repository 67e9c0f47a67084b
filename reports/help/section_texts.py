"""Help for Today, land, hunts and the field page: what each is for, how to begin, what to beware of, in plain words."""

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
                "elsewhere the rules of law"
            ),
        ),
    ),
    (
        Way("permissions:site_list", _lazy("Sites and the gate")),
        Way("finds:pack_list", _lazy("What the rules of law hold")),
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
