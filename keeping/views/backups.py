"""When the club's records were last kept and proved."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.timezone import localdate, now
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from keeping.actions import note_proof
from keeping.forms import ProofForm
from people.http import MemberRequest
from people.kept import last_kept
from people.rights import Right, require


@require_http_methods(["GET", "POST"])
def backups(request: MemberRequest) -> HttpResponse:
    require(request.user, Right.MANAGE_CLUB)
    at = now()
    form = ProofForm(request.POST or None, initial={"proved_on": localdate(at)}, today=localdate(at))
    if request.method == "POST" and form.is_valid():
        note_proof(by=request.user, at=at, **form.cleaned_data)
        messages.success(request, _("It is noted that the backup was proved."))
        return redirect("keeping:backups")
    kept = last_kept()
    late = {"backup_late": kept.is_backup_late(at), "proof_late": kept.is_proof_late(at)}
    return render(request, "keeping/backups.html", {"form": form, "kept": kept, **late})
