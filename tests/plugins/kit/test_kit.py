"""The kit held against the stock list: drawers, stand-ins with reasons, what is to be ordered."""

from __future__ import annotations

import csv
import io
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

CAPACITOR = "aluminium electrolytic, radial"


def test_a_part_that_lies_there_is_in_the_drawer(shelf, reservoir):
    """Value, voltage and temperature as asked: the line names the drawer."""
    shelf.wants(reservoir)
    shelf.has(f'"{CAPACITOR}",4700 uF,50 V,105,3,A1,,')
    assert shelf.picks() == [[(1, "in the drawer", "A1")]]


@pytest.mark.parametrize("value", ["4700uF", "4700 µF"])
def test_a_value_is_known_again_however_it_is_written(shelf, reservoir, value):
    """A stock list writes values its own way."""
    shelf.wants(reservoir)
    shelf.has(f'"{CAPACITOR}",{value},50,105,3,A1,,')
    assert shelf.picks() == [[(1, "in the drawer", "A1")]]


def test_a_higher_voltage_stands_in_with_the_calculators_reasons(shelf, reservoir):
    """The reasons are those of `replacement` and `voltage-derating`, each with its verdict."""
    shelf.wants(reservoir)
    shelf.has(f'"{CAPACITOR}",4700 uF,63 V,105,1,A2,,')
    (pick,) = shelf.kit()["parts"][0]["picks"]
    told = {(one["by"], one["rule"], one["verdict"]) for one in pick["reasons"]}
    assert pick["status"] == "stand-in"
    assert {
        ("replacement", "voltage", "pass"), ("voltage-derating", "derating", "pass")
    } <= told  # fmt: skip


def test_the_verdict_is_that_of_the_calculator_itself(shelf, reservoir):
    """What kit says of a stand-in is what `calc replacement` says of the same two parts."""
    shelf.wants(reservoir)
    shelf.has(f'"{CAPACITOR}",10000 uF,50 V,105,1,A2,,')
    (pick,) = shelf.kit()["parts"][0]["picks"]
    ran = shelf.run(
        "calc", "replacement", "--json",
        "original=family=aluminium capacitance=4700uF rated_voltage=50V temperature_rating=105C",
        "candidate=family=aluminium capacitance=10000uF rated_voltage=50V temperature_rating=105C",
        "place=role=reservoir rail=34V",
    )  # fmt: skip
    rows = json.loads(ran.out)["answers"]["rows"]["value"]
    ours = [
        {"rule": one["rule"], "verdict": one["verdict"], "why": one["why"]}
        for one in pick["reasons"]
        if one["by"] == "replacement"
    ]
    assert ours == rows


def test_a_lower_voltage_is_not_taken_and_the_reason_is_given(shelf, reservoir):
    """A part under its rail stays in the drawer, and the line is to be ordered."""
    shelf.wants(reservoir)
    shelf.has(f'"{CAPACITOR}",4700 uF,25 V,105,9,A3,,')
    (part,) = shelf.kit()["parts"]
    assert [one["status"] for one in part["picks"]] == ["to order"]
    assert part["refused"][0]["verdict"] == "fail"


def test_an_unstated_esr_is_not_taken_for_a_good_one(shelf, reservoir):
    """Where the write-up asks for an ESR that the stock list does not state, nobody can tell."""
    shelf.wants({**reservoir, "esr": "0.05 ohm"})
    shelf.has(f'"{CAPACITOR}",4700 uF,50 V,105,9,A3,,')
    (part,) = shelf.kit()["parts"]
    assert part["refused"][0]["verdict"] == "cannot tell"


def test_a_part_whose_size_nobody_wrote_down_is_to_be_measured(shelf, reservoir):
    """Where a ruler alone is wanted, the drawer is named rather than a new part ordered."""
    shelf.wants({**reservoir, "body": "18 x 36 mm, pitch 7.5 mm"})
    shelf.has(f'"{CAPACITOR}",4700 uF,50 V,105,9,A3,,')
    assert shelf.picks() == [[(1, "measure it first", "A3")]]


def test_the_measured_rail_decides(shelf, reservoir):
    """With `--rail`, a lower rated voltage is judged against what is really there."""
    shelf.wants(reservoir)
    shelf.has(f'"{CAPACITOR}",4700 uF,35 V,105,1,A4,,')
    before, after = shelf.picks(), shelf.picks("--rail", "C1=24 V")
    assert (before[0][0][1], after[0][0][1]) == ("to order", "stand-in")


def test_no_piece_is_promised_twice(shelf, reservoir):
    """Two write-ups that want the same part share what there is."""
    shelf.wants({**reservoir, "count": 2}, {**reservoir, "at": "C2", "count": 2})
    shelf.has(f'"{CAPACITOR}",4700 uF,50 V,105,3,A1,,')
    assert shelf.picks() == [
        [(2, "in the drawer", "A1")],
        [(1, "in the drawer", "A1"), (1, "to order", "")],
    ]


def test_a_stand_in_never_takes_what_another_line_asks_for(shelf, reservoir):
    """The very part goes to the line that wants it, wherever that line stands."""
    shelf.wants(reservoir, {**reservoir, "at": "C2", "volts": "63 V"})
    shelf.has(f'"{CAPACITOR}",4700 uF,63 V,105,1,A2,,')
    assert shelf.picks() == [[(1, "to order", "")], [(1, "in the drawer", "A2")]]


def test_a_fuse_is_judged_by_the_fuse_calculator(shelf):
    """A slower fuse is refused with the rule that says why."""
    shelf.wants({"at": "F1", "is": "mains fuse", "value": "T 2 A H 250 V"})
    shelf.has("fuse,TT 2 A H 250 V,,,5,F9,,", "fuse,T 2 A H 250 V,,,5,F1,,")
    assert shelf.picks() == [[(1, "in the drawer", "F1")]]


def test_a_wrong_fuse_is_never_offered(shelf):
    """Alone in the drawer, a higher rating is to be left there."""
    shelf.wants({"at": "F1", "is": "mains fuse", "value": "T 2 A H 250 V"})
    shelf.has("fuse,T 4 A H 250 V,,,5,F9,,")
    (part,) = shelf.kit()["parts"]
    assert (part["picks"][0]["status"], part["refused"][0]["verdict"]) == ("to order", "fail")


@pytest.mark.parametrize(
    ("offered", "status"),
    [("0R22; 5 W", "in the drawer"), ("0.22 ohm, 7 W", "stand-in"), ("0.22 ohm, 2 W", "to order"),
     ("0.33 ohm, 5 W", "to order")],
)  # fmt: skip
def test_a_resistor_may_take_more_power_and_nothing_else(shelf, offered, status):
    """The same resistance; its rating not lower."""
    shelf.wants({"at": "R1", "is": "resistor, wire-wound", "value": "0.22 ohm, 5 W"})
    shelf.has(f'resistor wire-wound,"{offered}",,,5,R1,,')
    assert shelf.picks()[0][0][1] == status


def test_a_stand_in_that_the_write_up_names_is_taken(shelf):
    """What is known to work needs no calculator."""
    relay = {"at": "RL1", "is": "relay", "value": "24 V coil, type QX-24", "instead": ["QX-25"]}
    shelf.wants(relay)
    shelf.has("relay,QX-25,,,1,B1,,")
    assert shelf.picks() == [[(1, "stand-in", "B1")]]


def test_a_part_as_marked_is_to_be_read_off(shelf, reservoir):
    """Where the write-up leaves the value to the unit, nothing is guessed."""
    shelf.wants({**reservoir, "value": "as marked", "volts": "as marked or the next step up"})
    shelf.has(f'"{CAPACITOR}",4700 uF,50 V,105,3,A1,,')
    assert shelf.picks() == [[(1, "read off the part", "")]]


def test_what_stands_on_the_part_completes_the_line(shelf, reservoir):
    """`--marked` gives value, voltage and temperature in one text."""
    shelf.wants({**reservoir, "value": "as marked", "volts": "as marked"})
    shelf.has(f'"{CAPACITOR}",4700 uF,50 V,105,3,A1,,')
    assert shelf.picks("--marked", "C1=4700 uF, 50 V, 105 C") == [[(1, "in the drawer", "A1")]]


@pytest.mark.parametrize("marked", ["4700u 50v", "4700uF/50VDC 105°C", "4700 uF 50 volts, 20 %"])
def test_a_marking_is_read_as_people_write_it(marked, shelf, reservoir):
    """Any spelling of a figure is the figure, and what no figure is for spoils none."""
    shelf.wants({**reservoir, "value": "as marked", "volts": "as marked"})
    shelf.has(f'"{CAPACITOR}",4700 uF,50 V,105,3,A1,,')
    (((_, status, place),),) = shelf.picks("--marked", f"C1={marked}")
    assert (status, place) in (("in the drawer", "A1"), ("stand-in", "A1"))


@pytest.mark.parametrize(
    ("marked", "figure"),
    [("4700 uF 35", "35"), ("4700 35 V", "4700"), ("104J 35 V", "104J"), ("1 uF 25 V 35 V", "35")],
)
def test_a_figure_of_a_marking_without_its_unit_is_named(marked, figure, shelf, reservoir):
    """What cannot be understood is said, with the form, and not taken as part of the value."""
    shelf.wants({**reservoir, "value": "as marked", "volts": "as marked"})
    ran = shelf.run("kit", "amp-hum", "--marked", f"C1={marked}")
    assert (ran.status, ran.out) == (2, "")
    assert f"'{figure}' in what is marked on C1" in ran.err
    assert "as in 4700 uF 35 V 105 C" in ran.err


def test_what_a_marking_leaves_open_is_said(shelf, reservoir):
    """The totals ask for what is still missing, not for what was just given."""
    shelf.wants({**reservoir, "value": "as marked", "volts": "as marked"})
    shelf.has(f'"{CAPACITOR}",4700 uF,50 V,105,3,A1,,')
    out = " ".join(shelf.run("kit", "amp-hum", "--marked", "C1=4700 uF").out.split())
    assert "'4700 uF' leaves the rated voltage of C1 open" in out


def test_a_marking_for_no_part_is_said_with_the_places_there_are(shelf, reservoir):
    """A slip in a place's name is no silent nothing."""
    shelf.wants(reservoir)
    ran = shelf.run("kit", "amp-hum", "--marked", "C7=10 uF")
    assert (ran.status, "'C7'" in ran.err, "C1" in ran.err) == (2, True, True)


def test_the_totals_count_every_piece_once(shelf, reservoir):
    """In the drawer, stand-ins, to order and to read off add up to the pieces asked for."""
    shelf.wants(
        {**reservoir, "count": 2}, {"is": "relay", "value": "24 V coil", "count": 3},
        {"is": "belt", "value": "as measured"},
    )  # fmt: skip
    shelf.has(f'"{CAPACITOR}",4700 uF,50 V,105,1,A1,,', f'"{CAPACITOR}",4700 uF,63,105,1,A2,,')
    assert shelf.kit()["stock"]["totals"] == {
        "in the drawer": 1, "stand-in": 1, "measure it first": 0, "to order": 3, "read off the part": 1,
    }  # fmt: skip


def test_csv_is_never_a_formula(shelf):
    """A cell that a spreadsheet would run gets an apostrophe, from the write-up or the stock."""
    shelf.wants({"at": "+R1", "is": "relay", "value": "24 V coil"})
    shelf.has("relay,24 V coil,,,1,=1+1,,")
    ran = shelf.run("kit", "amp-hum", "--csv")
    rows = list(csv.reader(io.StringIO(ran.out)))
    assert (rows[1][4], rows[1][7]) == ("'+R1", "'=1+1")


def test_csv_has_a_row_for_each_place_the_pieces_come_from(shelf, reservoir):
    """Three pieces from two drawers and one to order are three rows."""
    shelf.wants({**reservoir, "count": 3})
    shelf.has(f'"{CAPACITOR}",4700 uF,50 V,105,1,A1,,', f'"{CAPACITOR}",4700 uF,63,105,1,A2,,')
    rows = list(csv.DictReader(io.StringIO(shelf.run("kit", "amp-hum", "--csv").out)))
    assert [(row["count"], row["status"]) for row in rows] == [
        ("1", "in the drawer"), ("1", "stand-in"), ("1", "to order"),
    ]  # fmt: skip


def test_a_row_that_cannot_be_used_is_named_and_the_others_count(shelf, reservoir):
    """A count in words is reported with its row; the next row still serves."""
    shelf.wants(reservoir)
    shelf.has(f'"{CAPACITOR}",4700 uF,50 V,105,lots,A1,,', f'"{CAPACITOR}",4700 uF,50,105,1,A2,,')
    kit = shelf.kit()
    assert kit["stock"]["not_used"] == ["row 2: the count 'lots' is no whole number"]
    assert kit["parts"][0]["picks"][0]["item"]["place"] == "A2"


def test_a_list_without_a_count_is_refused_with_its_columns(shelf, reservoir):
    """Whoever forgot the column reads which one, and which there are."""
    shelf.wants(reservoir)
    shelf.has("relay,A1", header="what,place")
    ran = shelf.run("kit", "amp-hum")
    assert (ran.status, "no column count" in ran.err) == (2, True)


def test_the_shops_list_stays_inside_the_book(shelf, reservoir):
    """A book that came from elsewhere cannot have other files read."""
    shelf.wants(reservoir)
    shelf.has(name="stock.csv")
    toml = shelf.folder / "fixbook.toml"
    toml.write_text('starter = false\nstock = "../../secret.csv"\n', encoding="utf-8")
    ran = shelf.run("kit", "amp-hum")
    assert (ran.status, "outside the book" in ran.err) == (2, True)


def test_without_a_stock_list_the_kit_is_as_it_was(shelf, reservoir):
    """No list, no claims about drawers."""
    shelf.wants(reservoir)
    kit = shelf.kit()
    assert (kit["stock"], "picks" in kit["parts"][0]) == (None, False)


def test_a_capacitor_of_a_place_unknown_is_judged_strictly(shelf, reservoir):
    """Where the write-up does not say what it does, twice the capacitance is no stand-in."""
    shelf.wants({**reservoir, "value": "10 uF"}, section="output stage")
    shelf.has(f'"{CAPACITOR}",20 uF,63,105,1,A2,,')
    assert shelf.picks()[0][0][1] == "to order"


@settings(max_examples=20)
@given(text=st.text(max_size=200))
def test_any_stock_list_is_read_or_refused_in_words(tmp_path_factory, text):
    """No text of a file brings the reading down."""
    from fixbook_plugins.job_history.sources import SOURCES
    from fixbook_plugins.kit.stock import read_stock

    from fixbook.errors import FixbookError

    class OnlySources:
        def job_sources(self):
            return SOURCES

    path = tmp_path_factory.mktemp("stock") / "stock.csv"
    path.write_text(f"what,count,value\nrelay,1,x\n{text}\n", encoding="utf-8", newline="")
    try:
        stock = read_stock(OnlySources(), str(path))
    except FixbookError as error:
        assert error.why
    else:
        assert all(item.part.is_ for item in stock.items)
