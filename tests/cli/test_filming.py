"""``record --film``: a table of marks becomes an entry, or is refused in words."""

import pytest

from vireton.job import read_log
from vireton.tuning.observations import Film

#: A bare shaft of the template's bow, filmed from above at 240 frames a second.
FPS, LENGTH, SPEED = 240.0, 0.744, 87.15


@pytest.fixture
def log(vireton, setup_file, tmp_path):
    path = tmp_path / "job.toml"
    assert vireton("record", path, "--setup", setup_file).code == 0
    return path


@pytest.fixture
def rig(log):
    from vireton.answers.tune import Tune

    return Tune.read({"log": read_log(log)}).rig


def rows(rig, fps=FPS, count=6):
    """Marks of a shaft that flies straight across the picture's middle."""
    length = rig.bare.total_length
    gone = rig.stroke.speed_of(rig.bare.mass) / fps
    scale = 1800.0 / (length + (count - 1) * gone)
    lines = ["frame, nock x, nock y, point x, point y"]
    for k in range(count):
        nock = 60.0 + scale * gone * k
        lines.append(f"{k + 4}, {nock:.1f}, 540, {nock + scale * length:.1f}, 540")
    return "\n".join(lines) + "\n"


@pytest.fixture
def marks(rig, tmp_path):
    path = tmp_path / "marks.csv"
    path.write_text(rows(rig), encoding="utf-8")
    return path


def refused(done, *words):
    assert done.code == 2, done.out + done.err
    assert "Traceback" not in done.err
    for word in words:
        assert word in done.err, done.err


def test_a_film_is_recorded_and_said_back(vireton, log, marks):
    done = vireton("record", log, "--film", "bare", "above", marks)
    assert done.code == 0, done.err
    assert "Bare arrow filmed from above: 6 frames at 240 a second" in done.out
    assert "Bare arrow filmed from above: the nose does not turn, give or take" in done.out
    (one,) = read_log(log).rounds.all
    (seen,) = one.observations
    assert isinstance(seen, Film)
    assert seen.clip.frames[0].number == 4


def test_two_films_in_one_line(vireton, log, marks):
    done = vireton(
        *("record", log, "--film", "bare", "above", marks),
        *("--film", "fletched", "beside", marks, "--fps", "240"),
    )
    assert done.code == 0, done.err
    seen = read_log(log).rounds.all[0].observations
    assert [(one.arrow, one.clip.view) for one in seen] == [
        ("bare", "above"),
        ("fletched", "beside"),
    ]


def test_a_rate_that_cannot_be_is_refused_and_nothing_is_recorded(vireton, log, marks):
    before = log.read_bytes()
    refused(
        vireton("record", log, "--film", "bare", "above", marks, "--fps", "30"),
        "Check that nock and point are marked in the same frame, and the frame rate",
        "about 240 a second",
    )
    assert log.read_bytes() == before


def test_it_is_refused_before_a_job_begins(vireton, setup_file, marks, tmp_path):
    path = tmp_path / "new.toml"
    done = vireton(
        *("record", path, "--setup", setup_file),
        *("--film", "bare", "above", marks, "--fps", "60"),
    )
    refused(done, "240 a second")
    assert not path.exists()


def test_a_film_is_corrected_by_its_view(vireton, log, marks, rig):
    assert vireton("record", log, "--film", "bare", "above", marks).code == 0
    marks.write_text(rows(rig, count=5), encoding="utf-8")
    done = vireton("record", log, "--correct", "1", "--film", "bare", "above", marks)
    assert done.code == 0, done.err
    (one,) = read_log(log).rounds.counting
    assert [len(seen.clip.frames) for seen in one.observations] == [5]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--film", "bare", "behind", "FILE"), '"behind" is no view; write "above"'),
        (("--film", "dart", "above", "FILE"), '--film: "dart" is no arrow for this'),
        (("--film", "bare", "above", "no.csv"), "no.csv cannot be read: No such file"),
        (("--film", "bare", "above", "FILE", "--fps", "fast"), '--fps: "fast" is no plain'),
        (("--film", "bare", "above", "FILE", "--fps", "1"), "--fps: 1 is outside the range"),
        (("--fps", "240"), "--fps is the frame rate of a film: it needs --film"),
        (("--film", "bare"), "--film takes 3 values: --film ARROW VIEW FILE"),
    ],
)
def test_what_is_refused(vireton, log, marks, arguments, words):
    given = [str(marks) if one == "FILE" else one for one in arguments]
    refused(vireton("record", log, *given), words)


def test_a_film_itself_is_no_table(vireton, log, tmp_path):
    path = tmp_path / "clip.mov"
    path.write_bytes(bytes(range(256)) * 16)
    refused(
        vireton("record", log, "--film", "bare", "above", path),
        "is no text; it takes a table of marks, not the film itself",
    )


def test_a_wrong_line_is_named(vireton, log, marks):
    marks.write_text(marks.read_text(encoding="utf-8") + "9, 1, 2, 3\n", encoding="utf-8")
    refused(vireton("record", log, "--film", "bare", "above", marks), "marks.csv, line 8: ")


def test_a_film_that_no_longer_fits_the_bow_is_told(vireton, log, marks):
    assert vireton("record", log, "--film", "bare", "above", marks).code == 0
    text = log.read_text(encoding="utf-8")
    log.write_text(
        text.replace('view = "above"', 'view = "above"\nframes_a_second = 60'), encoding="utf-8"
    )
    done = vireton("tune", log)
    assert done.code == 0, done.err
    flat = " ".join(done.out.split())
    assert "The film of round 1 counts for nothing: by the arrow's length and 60 frames" in flat


def test_a_film_is_asked_for_with_how_to_take_it(vireton, setup_file, tmp_path):
    costs = '\n[costs]\nphone_on_stand = "yes"\nfilm = 0.01\n'
    costs += "arrow = 100.0\ntear = 100.0\ninch_left = 40.0\n"
    setup = tmp_path / "phone.toml"
    setup.write_text(setup_file.read_text(encoding="utf-8") + costs, encoding="utf-8")
    log = tmp_path / "phone_job.toml"
    assert vireton("record", log, "--setup", setup).code == 0
    flat = " ".join(vireton("tune", log).out.replace("·", " ").split())
    assert "Shoot 2 bare arrows, filmed from " in flat
    assert "How to film: Phone on a stand clear of the path" in flat
    plain = tmp_path / "plain_job.toml"
    assert vireton("record", plain, "--setup", setup_file).code == 0
    assert "film" not in vireton("tune", plain).out
