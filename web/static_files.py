"""How static files get names that change with their content, modules and what they import included."""

from collections.abc import Iterator
from typing import Any

from whitenoise.storage import CompressedManifestStaticFilesStorage  # type: ignore[import-untyped]

SOURCES = "src/"


class HashedModules(CompressedManifestStaticFilesStorage):  # type: ignore[misc]  # WhiteNoise has no types
    """A module's imports get the hashed names too, so that two versions of a page never share a file."""

    support_js_module_import_aggregation = True
    max_post_process_passes = 20  # as many as modules import one another in a chain; five is Django's own

    def post_process(self, paths: dict[str, Any], *args: Any, **kwargs: Any) -> Iterator[Any]:
        """The sources of the map bundle keep their names: they import files of OpenLayers that are not served."""
        served = {name: path for name, path in paths.items() if not name.startswith(SOURCES)}
        yield from super().post_process(served, *args, **kwargs)
