"""How `gunicorn config.wsgi` runs unless it is told otherwise: for a club's small machine and phones on weak signal."""

import os

preload_app = True  # loaded once and shared: a second worker then costs a third of the memory
# One that works on a photograph must not keep the pages waiting.
workers = int(os.environ.get("WEB_CONCURRENCY") or max(2, os.cpu_count() or 1))
threads = 4  # a phone that sends slowly holds a thread and not a worker
graceful_timeout = 30  # what is being saved is finished before a restart
max_requests, max_requests_jitter = 5000, 500  # whatever memory a worker gathers is given back now and then
control_socket_disable = True  # one door less
