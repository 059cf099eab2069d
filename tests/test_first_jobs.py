"""Two contractors' first jobs in a place that no ruleset covers, from a blank file to a page, on a real terminal.

What each has noted stands in the order of the visit. People, places and figures are invented. A prompt of which the notes
say nothing is left with Enter, and counts as well.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.support.commands import changeout
from tests.support.photographs import taken
from tests.support.terminal import DAY, Session

MOST_PROMPTS = 80
PHOTOGRAPHS = {
    "IMG_0041.jpg": ("outdoor unit's nameplate", ["LARKSPUR (invented)", "MODEL LK-36", "SERIAL 0031"]),
    "IMG_0057.jpg": ("micron gauge at the end", ["330 micron", "15 min"]),
}
Notes = dict[str, str]

# A furnace, a coil and an air conditioner in a basement.
FURNACE: Notes = {
    "What goes in?": "air conditioner, coil and furnace",
    "one-family house": "one family",
    "State and county": "Harlow Bend, Ohio",
    "Which code editions": "2021 residential, 2023 electrical",
    "The permit:": "applied 10/1/2026, issued 10/6/2026, by contractor",
    "What else is part of the job?": "none",
    "Which branch circuits": "condenser, furnace",
    "New outdoor unit's nameplate": "MCA 17.8 max fuse or HACR breaker 30 RLA 13.5 FLA 0.9 208/230 "
    "R-454B 5 lb 10 oz low side 325",
    "condenser: Which breakers": "2-pole 40 breaker, panel, listed",
    "Where is the indoor unit?": "basement unfinished",
    "condensate overflow?": "float switch in the second drain",
    "share a vent or chimney": "n",
    "The place:": "61 Alder Lane, 880 ft",
    "furnace: Which breakers": "panel: 15, breaker, panel, 1, listed, 62",
    "condenser: What GFCI": "class a",
    "condenser: What are the wire runs": "cable: nm cable, 10, 2, copper, rated 90c, 38, indoors, 75; "
    "whip: flexible raceway, 10, 2, copper, rated 90c, 5, outdoors, 95",
    "furnace: What are the wire runs": "cable: nm cable, 14, 2, copper, rated 90c, 22, indoors, 75",
    "furnace: Terminals of the circuit": "rated 60c, wire, 14, copper",
    "condenser: Terminals of the circuit": "rated 75c, wire, 10, copper",
    "condenser: Is there a disconnect": "4 5",
    "condenser: Disconnect of the circuit": "60 A fused pullout, 4 ft away, 40 deep 36 wide 80 high",
    "Is there a pool": "none",
    "are made for an A2L": "both outdoor unit and indoor unit",
    "Is there a service receptacle for the outdoor unit": "7? 9? 11 13",
    "Service receptacle at the outdoor unit": "yes, 14",
    "furnace: Nameplate of the equipment": "MCA 9.1 max fuse or breaker 15 120 V 1 pole rated amps 7.2",
    "refrigerant leak detector": "fitted and tested",
    "Does any return air come from": "neither",
    "Minimum floor area by the manual": "180, 24, 1",
    "Refrigerant the indoor coil is listed for": "furnace coil, Larkspur, 1.8, R-454B, expansion valve, upflow, 620, 5, 34",
    "check the ducts": "y",
    "Is there an auxiliary pan": "1 2 4? 7 8? 9? 10? 14",
    "Lowest rise on the plate": "gas furnace, 2026-03-02, category 1, natural gas, 0.5, 35, 65, 48",
    "enough combustion air": "yes",
    "only into, a bedroom": "no",
    "Manifold gas pressure": "passed, type b, single wall, 1/4 in/ft, natural gas, 6, 3.5, 7",
    "gas outlet left": "no",
    "joint you opened or made": "yes",
    "detector keep power": "yes",
    "How was the pressure test set up": "1",
    "Vacuum by the manual": "500, 15, 700, 300, 60",
    "Pressure at the end of the test": "60, 325, 305, 305, 68, 68",
    "Did you pull a vacuum": "5 6? 8",
    "Final vacuum": "330; 0 330, 5 390, 10 430, 15 450",
    "How the charge was set": "R-454B, subcooling, cooling, 20, 5 lb 14 oz, 82",
    "Target subcooling": "subcooling 9 ±2",
    "Liquid line temperature": "312, 91.5, 4 oz",
    "working CO alarm": "yes",
    "Was a load calculation": "3 4 5 7?",
    "What day did work": "10/12/2026",
    "one for each trade": "mechanical: 4/6/2027; electrical: 4/6/2027",
}

# A heat pump and an air handler with a heat kit in an attic.
HEAT_PUMP: Notes = {
    "What goes in?": "heat pump and air handler",
    "one-family house": "one family",
    "State and county": "Sable Creek NC",
    "Which code editions": "2018 residential, 2020 electrical",
    "The permit:": "issued 10/9/2026",
    "What else is part of the job?": "none",
    "Which branch circuits": "heat pump, air handler, heat kit",
    "New outdoor unit's nameplate": "18.4 mca, max fuse/HACR 30, rla 14, fla 1, R454B, 7 lb 3 oz, low side 340",
    "heat pump: Which breakers": "2-pole 30 breaker, panel, listed",
    "Where is the indoor unit?": "attic",
    "condensate overflow?": "float switch in the auxiliary pan",
    "The place:": "9 Hollow Road, 710 ft",
    "air handler: Which breakers": "panel: 15, breaker, panel, 2, listed, 60",
    "heat kit: Which breakers": "panel: 50, breaker, panel, 2, listed, 60",
    "heat pump: What GFCI": "class a",
    "heat pump: What are the wire runs": "cable: nm cable, 10, 2, copper, rated 90c, 44, indoors, 75; "
    "whip: flexible raceway, 10, 2, copper, rated 90c, 4, outdoors, 100",
    "air handler: What are the wire runs": "cable: nm cable, 14, 2, copper, rated 90c, 50, attic, 130",
    "heat kit: What are the wire runs": "cable: nm cable, 6, 2, copper, rated 90c, 50, attic, 130",
    "heat pump: Terminals of the circuit": "75 C, wire, 10, copper",
    "air handler: Terminals of the circuit": "60 C, wire, 14, copper",
    "heat kit: Terminals of the circuit": "75 C, wire, 10, copper",
    "heat pump: Is there a disconnect": "4 5",
    "heat pump: Disconnect of the circuit": "60 A, 7 ft away, 36 deep 30 wide 78 high",
    "air handler: Nameplate of the equipment": "4.6, 15, 15, fuse or breaker, 3.7, 208, 2",
    "heat kit: Nameplate of the equipment": "MCA 48 max fuse or breaker 50 240 V 2 pole",
    "Is there a pool": "none",
    "are made for an A2L": "both outdoor unit and indoor unit",
    "Is there a service receptacle for the outdoor unit": "7? 9? 11 13",
    "Service receptacle at the outdoor unit": "y, 22 ft",
    "refrigerant leak detector": "fitted, not tested",
    "Does any return air come from": "neither",
    "Minimum floor area by the manual": "210, 24, 1",
    "Refrigerant the indoor coil is listed for": "Larkspur, LKA-30, 1.6, R-454B, expansion valve, horizontal, 1100, in place, 3",
    "check the ducts": "yes",
    "Auxiliary pan material": "1, galvanized steel, 0.026",
    "Does the auxiliary pan have its own drain": "2 5 8? 9? 12 13? 14",
    "Auxiliary pan depth": "2 1/2, 30, 60",
    "gas outlet left": "no",
    "detector keep power": "yes",
    "How was the pressure test set up": "1",
    "Vacuum by the manual": "500, 10, 800, 350, 30",
    "Pressure at the end of the test": "30, 400, 350, 350, 74, 74",
    "Did you pull a vacuum": "5 6? 8",
    "Final vacuum": "290; 0 290, 5 340, 10 360",
    "How the charge was set": "R-454B, subcooling, cooling, 25, 7 lb 9 oz, 84",
    "Target subcooling": "subcooling 10 ±2",
    "Liquid line temperature": "318 psi, 92 F",
    "Was a load calculation": "3 4 5 7?",
}


def sitting(folder: Path, notes: Notes) -> tuple[int, list[str], str]:
    """One sitting: how many prompts it took, the notes that nobody asked for, and all that was shown."""
    talk, left, count = Session(folder), dict(notes), 0
    while left and count < MOST_PROMPTS:
        shown = talk.shown()
        if "go on or stop here?" in shown:
            talk.type("go on")
            continue
        count += 1
        _, number, question = shown.rpartition(f"{count}. ")
        assert number, f"not taken: {shown}"
        fits = next((words for words in left if words in question), None)
        talk.type(left.pop(fits) if fits else "")
    talk.shown()
    talk.type("stop")
    talk.end()
    return count, [*left], talk.seen


@pytest.mark.long
@pytest.mark.parametrize(
    ("notes", "wrong"),
    [(FURNACE, "Breaker too big"), (HEAT_PUMP, "detector")],
    ids=["furnace and air conditioner", "heat pump"],
)
def test_a_first_job_goes_from_blank_to_a_page_in_one_sitting(tmp_path: Path, notes: Notes, wrong: str) -> None:
    count, left, seen = sitting(tmp_path, notes)
    assert not left, left
    assert count <= MOST_PROMPTS
    assert "Core is done" in seen
    run = changeout("check", "job.json", "--format", "page", "--output", "page.html", *DAY, cwd=tmp_path)
    assert run.returncode == 1, run.stderr
    page = (tmp_path / "page.html").read_text(encoding="utf-8")
    assert wrong in page
    assert json.loads((tmp_path / "job.json").read_text())["site"]["jurisdiction"] in page
    handed_over(tmp_path)


def handed_over(folder: Path) -> None:
    """Photographs are bound, the packet is made and verified, and a change in it is told."""
    (folder / "phone").mkdir()
    for name, (shows, lines) in PHOTOGRAPHS.items():
        (folder / "phone" / name).write_bytes(taken(lines))
        assert changeout("photograph", "job.json", f"phone/{name}", "--shows", shows, *DAY, cwd=folder).returncode == 0
    made = changeout("packet", "job.json", "--output", "packet", "--zip", "packet.zip", *DAY, cwd=folder)
    assert made.returncode == 1, made.stderr
    assert "where it was taken (2)" in " ".join(made.stdout.split())
    for place in ("packet", "packet.zip"):
        assert changeout("packet", "--verify", place, cwd=folder).returncode == 0
    again = changeout("check", "job.json", "--format", "json", *DAY, cwd=folder / "packet")
    assert "does not count as taken" not in again.stdout
    record = folder / "packet" / "refrigerant-record.html"
    record.write_text(record.read_text().replace("Day of recovery", "Day of recovery "))
    told = changeout("packet", "--verify", "packet", cwd=folder)
    assert (1, True) == (told.returncode, "Changed since: refrigerant-record.html." in told.stdout)
