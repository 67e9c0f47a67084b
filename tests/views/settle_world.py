"""What the pages about settling have to show, made in the world of the access matrix when a row asks for it."""

from typing import Any

from finds.models import Find, Sheet
from reports.agreements import digest_of
from reports.models import Paper, PaperSigner
from reports.paper_links import paper_key_of
from reports.papers import signed_text
from tests import make, make_settlement
from tests.views.world import World

SENT, DRAFT, SETTLED = "A sent sheet", "A draft sheet", "A settled sheet"


def _valued(world: World) -> Find:
    return make_settlement.valued(make.find(world.hunt, world.member), "800", by=world.secretary)


def _sheet(world: World, title: str) -> Sheet:
    there = Sheet.objects.filter(title=title).first()
    return there or make_settlement.sheet([_valued(world)], by=world.secretary, title=title)


def draft(world: World) -> Sheet:
    return _sheet(world, DRAFT)


def sent(world: World) -> Sheet:
    row = _sheet(world, SENT)
    return row if row.state != "draft" else make_settlement.sent(row, by=world.secretary)


def settled(world: World) -> Sheet:
    row = _sheet(world, SETTLED)
    return row if row.state != "draft" else make_settlement.settled(row, by=world.secretary)


def own(world: World) -> PaperSigner:
    """The member's own signature on the sent sheet."""
    return make_settlement.signers(sent(world))[0]


def theirs(world: World) -> PaperSigner:
    """The landholder's."""
    return make_settlement.signers(sent(world))[1]


def whole(world: World) -> Paper:
    return sent(world).papers.get(party="")


def title(world: World) -> Paper:
    there = Paper.objects.filter(find=world.find).first()
    return there or make_settlement.title(world.find, by=world.secretary)


def pk_of(make_it: Any) -> Any:
    return lambda world: {"pk": make_it(world).pk}


def code(world: World) -> dict[str, str]:
    return {"code": paper_key_of(theirs(world))}


def title_photo(world: World) -> dict[str, str]:
    signer = title(world).signers.get(role="receiver")
    return {"code": paper_key_of(signer), "photo": f"find-{world.photo.pk}"}


def signing(make_it: Any) -> Any:
    def data(world: World) -> dict[str, str]:
        signer = make_it(world)
        return {"name": signer.name, "agree": "on", "read_sha256": digest_of(signed_text(signer))}

    return data
