"""Who is signed in, for a phone that asks before it shows or sends anything."""

from django.http import JsonResponse
from django.utils.timezone import now
from django.views.decorators.csrf import ensure_csrf_cookie
from django.views.decorators.http import require_GET

from field.account import account_of
from field.door import for_phones
from people.http import MemberRequest


@require_GET
@for_phones
@ensure_csrf_cookie
def me(request: MemberRequest) -> JsonResponse:
    """`{account, name, at}`; the cookie that a sending needs comes with it."""
    user = request.user
    return JsonResponse({"account": account_of(user), "name": user.name, "at": now().isoformat()})
