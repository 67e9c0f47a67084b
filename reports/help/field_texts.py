"""The chapters of a day on a field, in order: the handbook holds all of them, help pages those they need.

Sources stand beside each chapter. They are the public documents read for this project; where a line is habit rather
than rule it is called common practice. Local law, the landholder's word and licensed people come before all of it.
"""

from django.utils.translation import gettext_lazy as _lazy

from reports.help.model import Part

CODE = _lazy("Code of Practice for Responsible Metal Detecting in England and Wales (2017)")
PRACTICE = _lazy("common practice")

BEFORE = Part(
    _lazy("Before you go"),
    (
        _lazy(
            "Look at the hunt’s page: sites, meeting point, times, what the gate says, and the risks written down."
        ),
        _lazy("Carry your insurance card. It must cover the day itself."),
        _lazy("Open the field page once at home, so that it works without a signal."),
        _lazy(
            "Take gloves, water, a first-aid kit, a charged phone, headphones, a pouch for scrap and bags for finds."
        ),
        _lazy(
            "Tetanus cover up to date, cuts covered. Clean boots, wheels and spade before each farm and after it."
        ),
        _lazy(
            "Going alone? Write down where you are and when you are due back; somebody must miss you in time."
        ),
        _lazy("On a shore, know the tide: when it turns, how fast it comes, and which way you walk off."),
    ),
    source=_lazy("Risk assessments of detecting associations; equipment and tides: common practice"),
)
GATE = Part(
    _lazy("At the gate"),
    (
        _lazy("Sign in with the leader. Give an emergency contact and the vehicle you came with."),
        _lazy("Listen to the briefing: boundaries, no-go areas, depth, scrap, the stop signal, the end."),
        _lazy("Leave every gate as you found it. Park where the landholder said and nowhere else."),
        _lazy(
            "Livestock first: keep away from cows with calves, bulls and ewes with lambs. Turn back if they come."
        ),
        _lazy("The landholder’s word on the day counts, also where the paper allows more."),
    ),
    source=CODE,
)
SWEEP = Part(
    _lazy("Sweeping"),
    (
        _lazy(
            "Stay inside the boundary, and keep clear of its edge: a phone in the "
            "open is often wrong by several metres."
        ),
        _lazy(
            "Walk your lane straight, coil low and level, sweeps overlapping by half; slow finds more than fast."
        ),
        _lazy(
            "Balance the machine to the ground again after rain, on clay or ironstone, and on wet salt sand."
        ),
        _lazy(
            "Look up for power lines, down for ditches, slurry pits and old holes. Stay in sight of somebody."
        ),
        _lazy(
            "Lightning and thunder within 30 seconds: into shelter, and out 30 minutes after the last thunder."
        ),
        _lazy("Heat: shade, half a litre of water an hour. Cold and wet: go in before you shiver."),
    ),
    source=_lazy(
        "Published field methods; lightning: the 30-second and 30-minute rule of "
        "safety training; position of phones: "
        "published tests; heat: common practice"
    ),
)
DIG = Part(
    _lazy("Digging and filling"),
    (
        _lazy("Pinpoint first. Never deeper than agreed for this field, and never below the plough soil."),
        _lazy(
            "On grass: cut a horseshoe, leave the hinge, soil on a sheet; fill, fold the plug back, tread it level."
        ),
        _lazy("On arable or stubble: one spade’s width; break the soil beside the hole, fill, tread flush."),
        _lazy("On a beach: fill at once; a hole is a trap when the tide comes."),
        _lazy(
            "Stop at a change of colour in the soil, at stones laid by hand, at "
            "bone, at a pot, at several objects together."
        ),
        _lazy("Stop at warning tape, tile, pipe or cable: a buried service kills. Follow its drill."),
        _lazy(
            "Log the hole where it is, photograph it filled on grass. The hunt ends when every hole is filled."
        ),
    ),
    source=_lazy(
        "Code of Practice (2017) for depth and filling; plug methods: published guides and common practice"
    ),
)
FIND = Part(
    _lazy("What to do with a find"),
    (
        _lazy(
            "Log it at the hole: the place with its accuracy, depth, a photograph with "
            "a scale. One object, one bag, one number."
        ),
        _lazy(
            "Do not clean, rub, bend or oil it. Wet things stay wet in the water "
            "they lay in; iron dries unwashed on paper."
        ),
        _lazy("Lead and its white dust are poisonous: gloves, wash your hands, eat nothing before you have."),
        _lazy(
            "Answer the questions on its page. They decide what may be owed to whom and by when, not what it is."
        ),
        _lazy(
            "If a duty is possible, the place locks at once: for you, the leader and the committee. Tell nobody else."
        ),
        _lazy(
            "No posts, no photographs with a place in them. What is not yours stays with who the permission names."
        ),
        _lazy(
            "In doubt report early. The law of the place and its authority decide, "
            "never this club and never this program."
        ),
    ),
    source=_lazy(
        "First aid for finds: conservation notes of the national finds scheme of "
        "England and Wales (2005); lead: guidance "
        "for collections"
    ),
)
EMERGENCY = Part(
    _lazy("Emergencies"),
    (
        _lazy("Make it safe for yourself first: livestock, vehicles, tide, lightning, electricity."),
        _lazy(
            "Call the emergency number. Say the grid reference or the coordinates of "
            "the gate, from the emergency card."
        ),
        _lazy("Send one person to the gate to guide them in. Keep whoever is hurt warm, and never alone."),
        _lazy("Tell the leader, who has the emergency contacts and stops the hunt if it must stop."),
        _lazy("A cut from the ground: wash it, cover it, ask a doctor about tetanus the same day."),
        _lazy("Afterwards write down what happened, the same day, on the hunt’s page."),
    ),
    caution=True,
    source=_lazy(
        "Risk assessments of detecting associations; common practice. A first-aider’s training goes before it"
    ),
)
LEAVE = Part(
    _lazy("Leaving"),
    (
        _lazy(
            "Sweep and look at your own holes once more: level, firm, nothing left that hurts a horse or a cow."
        ),
        _lazy("All scrap out: small pieces to the scrap point, large iron where the leader says."),
        _lazy("Show your finds, also those you think are nothing."),
        _lazy("Sign out with the leader, always. A name not signed out is looked for."),
        _lazy("Gates as you found them. Clean boots, wheels and spade before the next farm."),
    ),
    source=_lazy("Code of Practice (2017); club practice"),
)
DEFER = _lazy(
    "The law of the place, the landholder’s word and licensed people come "
    "before everything written here. Nothing here "
    "says what an object is."
)
