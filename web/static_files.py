"""How static files get names that change with their content, modules and what they import included."""

from django.contrib.staticfiles.apps import StaticFilesConfig
from whitenoise.storage import CompressedManifestStaticFilesStorage


class StaticFiles(StaticFilesConfig):
    """Collects everything but the sources of the map bundle, which name files of OpenLayers that are not ours to serve."""

    ignore_patterns = [*StaticFilesConfig.ignore_patterns, "src"]  # noqa: RUF012  Django's own attribute


class HashedModules(CompressedManifestStaticFilesStorage):
    """A module's imports get the hashed names too, so that two versions of a page never share a file."""

    support_js_module_import_aggregation = True
    max_post_process_passes = 20  # as many as modules import one another in a chain; five is Django's own
