"""The shop: its air, its paper, who may enter, its document table by table, a copy of it all."""

import io
import zipfile

import pytest

from witnessmark.daybook import What
from witnessmark.desk.clock import now
from witnessmark.desk.shop_forms import BY_KEY, State, hours_in
from witnessmark.record import DayBookEntry, Person, Revision, Role, keep_shop, shop_checked, the_shop

WICKED = "<script>alert(1)</script>"


def form_of(client, address):
    """What a browser would send back of a form as it stands."""
    context = client.get(address).context
    sent = {field.name: field.value for field in context["fields"] if field.kind != "tick" or field.value}
    return {"number": context["number"]} | sent


@pytest.fixture
def kept(owner, demo_shop):
    demo_shop("chest")
    return owner


def test_every_key_of_the_shops_tables_has_its_field():
    for section in BY_KEY.values():
        if section.key:
            names = set(section.model.model_fields) - {asked.key for asked in section.asked}
            assert names <= {"photograph", "step"}, section.title  # sent as a file; of steps pins say nothing here


@pytest.mark.parametrize("address", ["/shop/shop/", "/shop/days/", "/shop/costs/", "/shop/person/1/", "/shop/room/2/",
                                     "/shop/cramp/1/", "/shop/pin/1/", "/cupboard/store/1/"])  # fmt: skip
def test_a_form_that_is_sent_back_untouched_changes_nothing(kept, address):
    before = Revision.objects.count()
    assert kept.post(address, form_of(kept, address)).status_code == 302
    assert Revision.objects.count() == before


def test_hours_are_written_a_line_each(kept):
    sent = form_of(kept, "/shop/person/2/") | {"hours": "mon-thu 9-12.30, 13-17\nfri off", "bench_fraction": "0,7"}
    assert kept.post("/shop/person/2/", sent).status_code == 302
    tobias = the_shop().person[1]
    assert [len(tobias.week[day]) for day in range(5)] == [2, 2, 2, 2, 0]
    assert tobias.bench_fraction == 0.7


@pytest.mark.parametrize("line", ["mo-fri 8-12", "mon eight till noon", "mon", "8-12"])
def test_hours_that_are_none_are_said_beside_them_and_kept_as_typed(kept, line):
    answer = kept.post("/shop/person/2/", form_of(kept, "/shop/person/2/") | {"hours": line})
    assert answer.status_code == 422
    assert answer.context["faults"]["hours"].startswith("“")
    assert line in answer.content.decode()


def test_days_and_hours_are_told_apart():
    assert hours_in("mon - fri: 8:00-12:30\nWed off") == {"mon-fri": "8:00-12:30", "Wed": "off"}


def test_what_a_cabinet_holds_is_set_against_what_burns(kept):
    sent = form_of(kept, "/shop/room/1/") | {"cabinet": "2 l"}
    assert kept.post("/shop/room/1/", sent).status_code == 302
    said = kept.get("/cupboard/").content.decode()
    assert "the cabinet holds 2 l" in said
    assert "too much: take it out of the shop" in said


def test_one_more_person_and_out_again(kept):
    sent = {"number": State.of().number, "name": WICKED, "role": "helper", "hours": "sat 9-12", "bench_fraction": ""}
    assert kept.post("/shop/person/new/", sent).status_code == 302
    assert the_shop().person[2].name == WICKED
    assert WICKED not in kept.get("/shop/").content.decode()
    assert kept.post("/shop/person/3/", {"remove": "yes", "number": State.of().number}).status_code == 302
    assert len(the_shop().person) == 2


def test_two_people_on_one_table_merge_and_one_key_shows_both(kept):
    sent = form_of(kept, "/shop/costs/")
    body = State.of().body
    theirs = {**body, "costs": {**body["costs"], "rent": "£700", "van": "£250"}}
    keep_shop(shop_checked(theirs), "Tobias", now())
    merged = kept.post("/shop/costs/", sent | {"heat": "£100"})
    assert merged.status_code == 302
    assert (the_shop().costs.rent.text, the_shop().costs.heat.text) == ("£700", "£100")
    both = kept.post("/shop/costs/", sent | {"rent": "£650"})
    assert both.status_code == 409
    assert "£700" in both.content.decode()
    assert "£650" in both.content.decode()
    again = kept.post("/shop/costs/", sent | {"rent": "£650", "van": "£250", "number": both.context["number"]})
    assert again.status_code == 302
    assert the_shop().costs.rent.text == "£650"


def test_settings_change_the_words_of_the_shop(kept):
    assert kept.post("/shop/shop/", form_of(kept, "/shop/shop/") | {"words": "US"}).status_code == 302
    assert 'lang="en-US"' in kept.get("/shop/").content.decode()


# ---- air and paper ----


def test_the_air_is_written_down_and_stands_there(helper, demo_shop):
    demo_shop("chest")
    deed = helper.get("/shop/").context["air_deed"]
    sent = {"entries": deed.json, "set.0.temperature": "17", "unit.0.temperature": "°C", "set.0.rh": "58",
            "unit.0.rh": "%", "set.0.note": "polishing room"}  # fmt: skip
    assert helper.post("/shop/air/", sent).status_code == 302
    assert "17 °C, 58 %" in helper.get("/shop/").content.decode()
    assert DayBookEntry.objects.filter(what=What.AIR.value, body__note="polishing room").count() == 1


def test_air_that_is_none_is_kept_as_typed(helper, demo_shop):
    demo_shop("chest")
    deed = helper.get("/shop/").context["air_deed"]
    answer = helper.post("/shop/air/", {"entries": deed.json, "set.0.temperature": WICKED})
    assert answer.status_code == 422
    assert WICKED not in answer.content.decode()


def test_a_reader_chooses_the_paper_of_their_own_machine(reader, demo_shop):
    demo_shop("chest")
    assert reader.post("/shop/paper/", {"paper": "slate"}).cookies["paper"].value == "slate"
    assert 'data-paper="slate"' in reader.get("/shop/").content.decode()
    reader.post("/shop/paper/", {"paper": "wallpaper"})
    assert "data-paper" not in reader.get("/shop/").content.decode()


# ---- people ----


def test_an_owner_lets_somebody_in_and_shuts_them_out(kept):
    sent = {"name": "Fenn", "role": "helper", "password": "shavings and glue"}
    assert kept.post("/shop/people/", sent).status_code == 302
    assert Person.objects.get(name="Fenn").role == Role.HELPER
    assert "Fenn" in kept.get("/shop/").content.decode()
    kept.post("/shop/people/withdraw/", {"name": "Fenn"})
    assert not Person.objects.get(name="Fenn").is_active


def test_a_short_password_is_said_beside_its_field(kept):
    answer = kept.post("/shop/people/", {"name": "Fenn", "role": "helper", "password": "short"})
    assert answer.status_code == 422
    assert "at least 10 characters" in answer.content.decode()
    assert not Person.objects.filter(name="Fenn").exists()


def test_the_only_owner_neither_goes_nor_steps_down(kept):
    kept.post("/shop/people/withdraw/", {"name": "Ines"})
    answer = kept.post("/shop/people/", {"name": "Ines", "role": "helper", "password": "shavings and glue"})
    assert "make somebody else an owner first" in answer.content.decode()
    assert Person.objects.get(name="Ines").owns


def test_a_helper_sees_neither_costs_nor_people(helper, demo_shop):
    demo_shop("chest")
    said = helper.get("/shop/").content.decode()
    for word in ("£640", "Who may enter", "A copy of everything", "£19"):
        assert word not in said


# ---- a copy ----


@pytest.mark.django_db(transaction=True)
def test_a_copy_of_everything_is_one_file_and_its_day_is_said(client, settings, tmp_path):
    from django.db import connection

    settings.DATA = tmp_path
    client.force_login(Person.objects.create_user("Ines", Role.OWNER, "x"), "django.contrib.auth.backends.ModelBackend")
    with connection.cursor() as cursor:
        cursor.execute(f"VACUUM INTO '{tmp_path / 'witnessmark.sqlite3'}'")
    answer = client.post("/shop/backup/")
    assert answer["Content-Disposition"] == 'attachment; filename="witnessmark-2026-11-25.zip"'
    with zipfile.ZipFile(io.BytesIO(answer.getvalue())) as copied:
        assert "witnessmark.sqlite3" in copied.namelist()
    assert "Last taken Wed 25 Nov" in client.get("/shop/").content.decode()


def test_where_there_is_nothing_to_copy_it_is_said(kept, settings, tmp_path):
    settings.DATA = tmp_path
    assert kept.post("/shop/backup/").status_code == 302
    assert "No copy was taken" in kept.get("/shop/").content.decode()
