"""Instruments' files: CGATS text and CxF3 XML become swatches; what could do harm is refused."""

from __future__ import annotations

import pytest

from skeinwright.core.foundations.errors import BadInput
from skeinwright.files.colour_files import is_cgats, is_cxf, read_cgats, read_cxf
from skeinwright.services.import_readings import import_readings
from skeinwright.services.read_dye_table import read_dye_table
from skeinwright.services.read_spectrum import read_spectrum

NM = range(400, 701, 10)
HEAD = 'CGATS.17\nORIGINATOR\t"our own"\n'
LABS = f"""{HEAD}WEIGHTING_FUNCTION "ILLUMINANT, D65"
WEIGHTING_FUNCTION "OBSERVER, 10 degree"
NUMBER_OF_FIELDS 4
BEGIN_DATA_FORMAT
SAMPLE_NAME LAB_L LAB_A LAB_B
END_DATA_FORMAT
NUMBER_OF_SETS 4
BEGIN_DATA
"undyed Quay Sock"\t91.0\t0.1\t8.2
"Kelp 0.5 % Quay Sock" 46 -18 6
"Kelp 0.5 % Quay Sock" 48 -18 8
"Kelp 2 % Quay Sock" 25 -14 5
END_DATA
"""
SPECTRA = (
    HEAD
    + "BEGIN_DATA_FORMAT\nSAMPLE_ID "
    + " ".join(f"SPECTRAL_NM{nm}" for nm in NM)
    + "\nEND_DATA_FORMAT\nBEGIN_DATA\n"
    + '"Ember 1 %" '
    + " ".join(f"{20 + index}" for index, _ in enumerate(NM))
    + "\nEND_DATA\n"
)
CXF = """<?xml version="1.0" encoding="UTF-8"?>
<cc:CxF xmlns:cc="http://colorexchangeformat.com/CxF3-core">
 <cc:Resources>
  <cc:ObjectCollection>
   <cc:Object ObjectType="Standard" Name="Kelp 1 %" Id="o1">
    <cc:ColorValues>
     <cc:ReflectanceSpectrum ColorSpecification="s1" StartWL="400">VALUES</cc:ReflectanceSpectrum>
     <cc:ColorCIELab ColorSpecification="s1"><cc:L>41.5</cc:L><cc:A>-20.25</cc:A><cc:B>6</cc:B></cc:ColorCIELab>
    </cc:ColorValues>
   </cc:Object>
  </cc:ObjectCollection>
  <cc:ColorSpecificationCollection>
   <cc:ColorSpecification Id="s1">
    <cc:TristimulusSpec><cc:Illuminant>D65</cc:Illuminant><cc:Observer>10_Degree</cc:Observer></cc:TristimulusSpec>
    <cc:MeasurementSpec><cc:WavelengthRange StartWL="400" Increment="10"/></cc:MeasurementSpec>
   </cc:ColorSpecification>
  </cc:ColorSpecificationCollection>
 </cc:Resources>
</cc:CxF>""".replace("VALUES", " ".join("0.25" for _ in NM))


def test_labs_in_cgats_are_averaged_by_name() -> None:
    assert is_cgats(LABS)
    readings = import_readings(LABS)
    (kelp,) = readings.table.dyes
    half, two = readings.table.dyes[kelp]
    assert (half.depth, two.depth) == (0.005, 0.02)
    assert half.lab.values == (47.0, -18.0, 7.0)
    assert (half.repeats, half.base, half.lab.illuminant, half.lab.observer) == (2, "Quay Sock", "D65", 10)
    assert readings.table.undyed[0].base == "Quay Sock"


def test_spectra_in_cgats_in_per_cent_become_factors() -> None:
    (reading,) = read_cgats(SPECTRA)
    assert reading.spectrum[0] == (400.0, 0.20)
    assert reading.spectrum[-1] == (700.0, 0.50)
    assert import_readings(SPECTRA).table.dyes["Ember"][0].spectrum == reading.spectrum


def test_cxf() -> None:
    assert is_cxf(CXF)
    (reading,) = read_cxf(CXF)
    assert reading.lab == (41.5, -20.25, 6.0)
    assert (reading.illuminant, reading.observer) == ("D65", 10)
    assert reading.spectrum[0] == (400.0, 0.25)
    assert len(reading.spectrum) == 31
    assert read_dye_table(CXF).known[0].name == "Kelp"
    assert read_spectrum(CXF) == reading.spectrum


@pytest.mark.parametrize(
    "start",
    [
        '<!DOCTYPE CxF [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]>',
        '<!DOCTYPE CxF SYSTEM "file:///etc/hostname">',
        '<!DOCTYPE CxF [<!ENTITY x SYSTEM "file:///etc/hostname">]>',
    ],
)
def test_entities_and_document_types_are_refused(start: str) -> None:
    with pytest.raises(BadInput, match="document type or entities"):
        read_cxf(start + "<CxF><Object Name='&x;'/></CxF>")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("BEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n1 2 3\nEND_DATA\n", "3 values for 4"),
        ("BEGIN_DATA\n1\nEND_DATA\n", "BEGIN_DATA_FORMAT"),
        ("BEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n1 2 x 3\nEND_DATA\n", "not a number"),
        ("BEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n7 50 0 0\nEND_DATA\n", "No sample's name"),
        ('BEGIN_DATA_FORMAT\nSAMPLE_ID\nEND_DATA_FORMAT\nBEGIN_DATA\n"7 50\nEND_DATA\n', "quotation"),
    ],
)
def test_what_cannot_be_read_is_said(text: str, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        import_readings(text)


def test_broken_xml_is_said() -> None:
    with pytest.raises(BadInput, match="not whole XML"):
        read_cxf("<CxF><Object>")


def test_a_spectrum_in_two_columns() -> None:
    rows = "nm,R\n" + "\n".join(f"{nm},{nm / 10}" for nm in NM)
    assert read_spectrum(rows)[0] == (400.0, 0.4)
    with pytest.raises(BadInput, match="two numbers"):
        read_spectrum("400,1,2\n")
    with pytest.raises(BadInput, match="empty"):
        read_spectrum(" \n")
