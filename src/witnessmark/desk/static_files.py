"""Static files as the desk sends them: compressed once, named by their content, so that browsers keep them for long."""

from whitenoise.storage import CompressedManifestStaticFilesStorage

_IMPORTS = CompressedManifestStaticFilesStorage._js_module_import_aggregation_patterns[1]


class Small(CompressedManifestStaticFilesStorage):  # type: ignore[misc]
    """Our own scripts import one another by name, so those names are changed too; others' are left as they came."""

    patterns = (*CompressedManifestStaticFilesStorage.patterns, ("desk/*.js", _IMPORTS))
