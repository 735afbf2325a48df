"""Write a colourway as a file of its own."""

from __future__ import annotations

from skeinwright.core.colourway.reading import colourway_document
from skeinwright.files.documents import write_document
from skeinwright.files.names import file_name
from skeinwright.services.export_shelf import ExportFile
from skeinwright.services.studio import Studio


def export_colourway(studio: Studio, key: int | str) -> ExportFile:
    """The TOML file of a colourway; `import_colourway` reads it back as the same. Raises NotFound."""
    with studio.store.reading() as reading:
        colourway = reading.colourway(key).thing
    return ExportFile(file_name(colourway.name, "toml"), "application/toml", write_document(colourway_document(colourway)).encode())
