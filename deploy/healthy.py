"""Ask the site in this container whether it can serve; ends with an error when it cannot."""

import os
import sys
import urllib.request

host = os.environ.get("DJANGO_ALLOWED_HOSTS", "localhost").split(",")[0].lstrip(".")
request = urllib.request.Request("http://127.0.0.1:8000/health/ready/", headers={"Host": host})
try:
    with urllib.request.urlopen(request, timeout=4) as answer:  # noqa: S310 - the address stands above
        sys.exit(0 if answer.status == 200 else 1)
except OSError as error:
    sys.exit(f"not ready: {error}")
