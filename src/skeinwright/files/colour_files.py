"""Readings in the files that colour instruments write: CGATS text, CxF3 XML, and plain columns of spectra.

Sources: cgats17 (keywords as instruments write them; from memory), iso17972 (names compared with the published schema). XML is read with the standard
library's expat, and a document that declares entities or a document type is refused, so nothing outside the file is ever fetched or blown up.
"""

from __future__ import annotations

import re
import shlex
from dataclasses import dataclass, field
from xml.parsers import expat

from skeinwright.core.foundations.errors import BadInput

LARGEST_BYTES = 20_000_000
_BAND = re.compile(r"(?:SPECTRAL_)?(?:NM|R)?_?(\d{3})(?:\.0+)?", re.IGNORECASE)
_LAB = ("LAB_L", "LAB_A", "LAB_B")
_LIGHTS = {"F2": "FL2", "F11": "FL11"}
"""Illuminants that CxF3's schema calls otherwise than this program."""
_NAMES = ("SAMPLE_NAME", "SAMPLE_ID", "SAMPLE_NO", "NAME")


@dataclass(frozen=True, slots=True)
class ColourReading:
    """One sample: its name, its Lab with light and observer where the file has it, and its spectrum as (nm, reflectance 0-1) pairs where it has that."""

    name: str
    lab: tuple[float, float, float] | None = None
    illuminant: str = "D50"
    observer: int = 2
    spectrum: tuple[tuple[float, float], ...] = ()


def is_cgats(text: str) -> bool:
    """True where the text has CGATS' data block."""
    return re.search(r"^\s*BEGIN_DATA\s*$", text, flags=re.MULTILINE) is not None


def is_cxf(text: str) -> bool:
    """True where the text is XML with a CxF root."""
    return re.match(r"\s*(<\?xml[^>]*>\s*)?(<!--.*?-->\s*)*<(\w+:)?CxF\b", text, flags=re.DOTALL) is not None


def read_cgats(text: str) -> tuple[ColourReading, ...]:
    """The samples of a CGATS file: columns between BEGIN_DATA_FORMAT and END_DATA_FORMAT, rows between BEGIN_DATA and END_DATA.

    Spectra are SPECTRAL_NM400, SPECTRAL_400, NM_400 or R400, as factors or, where any exceeds 2, per cent. Lab is D50, 2 degree unless the header says
    otherwise (ILLUMINANT, OBSERVER, or a MEASUREMENT_SOURCE or WEIGHTING_FUNCTION that names them). Raises BadInput.
    """
    columns = _words(_block(text, "DATA_FORMAT"))
    width = len(columns)
    if not width:
        raise BadInput("The file names no columns between BEGIN_DATA_FORMAT and END_DATA_FORMAT.", where="file")
    upper = [column.upper() for column in columns]
    bands = {index: int(found[1]) for index, column in enumerate(columns) if (found := _BAND.fullmatch(column))}
    illuminant, observer = _light(text.split("BEGIN_DATA_FORMAT")[0])
    readings = []
    for number, line in enumerate(_lines(_block(text, "DATA")), start=1):
        cells = _words(line)
        if len(cells) != width:
            raise BadInput(f"Row {number} has {len(cells)} values for {width} columns.", where=f"row {number}")
        name = next((cells[upper.index(column)] for column in _NAMES if column in upper), str(number))
        lab = None
        if all(column in upper for column in _LAB):
            L, a, b = (_number(cells[upper.index(column)], number) for column in _LAB)
            lab = (L, a, b)
        spectrum = _factors([(float(nm), _number(cells[index], number)) for index, nm in bands.items()])
        readings.append(ColourReading(name, lab, illuminant, observer, spectrum))
    return tuple(readings)


def read_cxf(content: bytes | str) -> tuple[ColourReading, ...]:
    """The objects of a CxF3 file that have a ReflectanceSpectrum or a ColorCIELab, with the light that its ColorSpecification names. Raises BadInput."""
    data = content.encode("utf-8") if isinstance(content, str) else content
    if len(data) > LARGEST_BYTES:
        raise BadInput(f"The file is larger than {LARGEST_BYTES // 1_000_000} MB: take the samples that you need into a file of their own.", where="file")
    reader = _Cxf()
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.StartElementHandler, parser.EndElementHandler, parser.CharacterDataHandler = reader.start, reader.end, reader.text
    parser.StartDoctypeDeclHandler = _refuse
    parser.EntityDeclHandler = _refuse
    try:
        parser.Parse(data, True)
    except expat.ExpatError as error:
        raise BadInput(f"The file is not whole XML (line {error.lineno}): save it again from the instrument's program.", where="file") from error
    return tuple(reading for reading in reader.readings())


def _refuse(*declared: object) -> None:
    raise BadInput("The file declares a document type or entities, which a file of readings has no need of: it is not read.", where="file")


@dataclass(slots=True)
class _Sample:
    name: str
    lab: tuple[float, float, float] | None = None
    lab_specification: str = ""
    spectrum: tuple[tuple[float, float], ...] = ()


@dataclass(slots=True)
class _Specification:
    illuminant: str = "D50"
    observer: int = 2
    start_nm: float | None = None
    step_nm: float | None = None


@dataclass(slots=True)
class _Cxf:
    """Collects samples and specifications while the XML is read."""

    samples: list[_Sample] = field(default_factory=list)
    specifications: dict[str, _Specification] = field(default_factory=dict)
    _sample: _Sample | None = None
    _specification: _Specification | None = None
    _attributes: dict[str, str] = field(default_factory=dict)
    _said: list[str] = field(default_factory=list)
    _lab: dict[str, float] = field(default_factory=dict)
    _spectra: list[tuple[_Sample, str, str, str]] = field(default_factory=list)

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        name, self._said = tag.rsplit(" ", 1)[-1], []
        if name == "Object":
            self._sample = _Sample(attributes.get("Name", ""))
        elif name == "ColorSpecification":
            self._specification = self.specifications.setdefault(attributes.get("Id", ""), _Specification())
        elif name in ("ReflectanceSpectrum", "ColorCIELab"):
            self._attributes, self._lab = dict(attributes), {}
        elif name == "WavelengthRange" and self._specification is not None:
            self._specification.start_nm = _plain(attributes.get("StartWL", ""))
            self._specification.step_nm = _plain(attributes.get("Increment", ""))

    def text(self, data: str) -> None:
        self._said.append(data)

    def end(self, tag: str) -> None:
        name, said = tag.rsplit(" ", 1)[-1], "".join(self._said).strip()
        self._said = []
        if name == "Object" and self._sample is not None:
            self.samples.append(self._sample)
            self._sample = None
        elif name == "ColorSpecification":
            self._specification = None
        elif self._specification is not None and name == "Illuminant":
            self._specification.illuminant = _LIGHTS.get(said, said) or "D50"
        elif self._specification is not None and name == "Observer":
            self._specification.observer = 10 if said.startswith("10") else 2
        elif self._sample is not None:
            self._color(name, said, self._sample)

    def _color(self, name: str, said: str, sample: _Sample) -> None:
        if name in ("L", "A", "B"):
            self._lab[name] = _plain(said) or 0.0
        elif name == "ColorCIELab" and len(self._lab) == 3:
            sample.lab = (self._lab["L"], self._lab["A"], self._lab["B"])
            sample.lab_specification = self._attributes.get("ColorSpecification", "")
        elif name == "ReflectanceSpectrum":
            self._spectra.append((sample, said, self._attributes.get("StartWL", ""), self._attributes.get("ColorSpecification", "")))

    def readings(self) -> list[ColourReading]:
        for sample, said, start, key in self._spectra:
            specification = self.specifications.get(key, _Specification())
            values = [_number(word, sample.name) for word in said.split()]
            first = _plain(start) or specification.start_nm
            if first is None:
                raise BadInput(f"The spectrum of {sample.name or 'a sample'} does not say at which wavelength it starts.", where=sample.name)
            step = specification.step_nm or 10.0
            sample.spectrum = _factors([(first + step * index, value) for index, value in enumerate(values)])
        found = []
        for sample in self.samples:
            if sample.lab is not None or sample.spectrum:
                specification = self.specifications.get(sample.lab_specification, _Specification())
                found.append(ColourReading(sample.name, sample.lab, specification.illuminant, specification.observer, sample.spectrum))
        return found


def _factors(pairs: list[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """Sorted pairs, per cent made factors where any value exceeds 2."""
    scale = 100.0 if pairs and max(value for _, value in pairs) > 2 else 1.0
    return tuple(sorted((nm, value / scale) for nm, value in pairs))


def _block(text: str, name: str) -> str:
    found = re.search(rf"^\s*BEGIN_{name}\s*$(.*?)^\s*END_{name}\s*$", text, flags=re.MULTILINE | re.DOTALL)
    if found is None:
        raise BadInput(f"The file has no block from BEGIN_{name} to END_{name}.", where="file")
    return found[1]


def _lines(block: str) -> list[str]:
    return [line for line in block.splitlines() if line.strip() and not line.lstrip().startswith("#")]


def _words(text: str) -> list[str]:
    try:
        return shlex.split(text.replace("\t", " "), comments=False, posix=True)
    except ValueError:
        raise BadInput("A quotation mark in the file is not closed.", where="file") from None


def _light(head: str) -> tuple[str, int]:
    illuminant = re.search(r"\b(D50|D65|FL2|FL11|LED-B3|A|C)\b", " ".join(re.findall(r"^.*(?:ILLUM|WEIGHTING|SOURCE).*$", head, flags=re.MULTILINE)))
    observer = re.search(r"\b(10|2)\b", " ".join(re.findall(r"^.*(?:OBSERVER|WEIGHTING).*$", head, flags=re.MULTILINE)))
    return illuminant[1] if illuminant else "D50", int(observer[1]) if observer else 2


def _plain(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None


def _number(text: str, where: str | int) -> float:
    value = _plain(text.replace(",", "."))
    if value is None:
        raise BadInput(f"'{text[:20]}' is not a number. Put that row of the file right and choose it again.", where=f"row {where}")
    return value
