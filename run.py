#!/usr/bin/env python3
"""Start Skeinwright: `python3 run.py` sets everything up beside this file and opens the studio.

    python3 run.py [--no-browser] [--port N]   set up once, then open the studio in the browser
    python3 run.py test [pytest arguments]     set up for testing, then run all checks and tests
    python3 run.py prove [NAME]                run the long proofs in proofs/, or one of them
    python3 run.py COMMAND ...                 the command line: amounts, bath, forecast, shelf, lot ...

Only the standard library is used here, and this file can be read by Python 3.6, so that an old Python is told what it lacks instead
of failing. Set-up and progress are written to stderr; stdout belongs to the command that was asked for.
"""

import contextlib
import hashlib
import importlib.util
import json
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent
NEEDED = (3, 11)
# Measured on Linux with Python 3.11: what is fetched and what then lies on the disk. Minutes are for a line of about 10 Mbit/s.
COST = {False: "about 240 MB to fetch, 780 MB on disk, 2 to 5 minutes", True: "about 410 MB to fetch, 1.4 GB on disk, 3 to 9 minutes"}
NO_NETWORK = re.compile(
    r"NewConnectionError|NameResolutionError|name resolution|getaddrinfo|Network is unreachable|Connection refused|ConnectTimeout"
    r"|No route to host|ProxyError|Max retries",
    re.I,
)
NO_ROOM = re.compile(r"No space left on device|not enough space", re.I)


class CannotStart(Exception):
    """One sentence that says what is missing and what to install."""


# ---------------------------------------------------------------- what may be missing


def version_sentence(version):
    """The sentence for a Python that is too old, or "" where it will do. `version` is (major, minor, ...)."""
    if tuple(version[:2]) >= NEEDED:
        return ""
    return "Skeinwright needs Python 3.11 or newer; this is {}.{}: install a newer Python and start run.py with it.".format(*version[:2])


def venv_sentence(find_spec=importlib.util.find_spec):
    """The sentence for a Python without the venv or ensurepip module, or ""."""
    missing = [name for name in ("venv", "ensurepip") if find_spec(name) is None]
    if not missing:
        return ""
    lacks = " or ".join(missing)
    remedy = "on Debian or Ubuntu install the package python3-venv, elsewhere install Python in full, then start again"
    return f"This Python has no {lacks} module, which the set-up needs: {remedy}."


def install_sentence(output, log):
    """The sentence for an installation that failed with `output`; `log` is where the whole story lies."""
    if NO_ROOM.search(output):
        return "The disk is full, so Skeinwright could not be set up: free about 1 GB and start again."
    if NO_NETWORK.search(output):
        return "Skeinwright could not fetch its parts because there is no network: connect once and start again (afterwards none is needed)."
    errors = [line for line in output.splitlines() if line.lower().startswith("error")]
    last = errors[-1].split(":", 1)[-1].strip().rstrip(".") if errors else "the installer stopped"
    return f"Skeinwright could not be set up ({last}): start again, and if it fails again look into {log}."


# ---------------------------------------------------------------- the stamp: is everything set up?


def folder(root=ROOT):
    """The folder of the set-up Python."""
    return Path(root) / ".venv"


def venv_python(venv, windows=os.name == "nt"):
    """The Python inside a virtual environment."""
    return Path(venv) / ("Scripts/python.exe" if windows else "bin/python")


def fingerprint(root=ROOT):
    """A hash of all that decides what is installed: pyproject.toml, requirements.lock and where the checkout lies."""
    digest = hashlib.sha256(str(Path(root).resolve()).encode())
    for name in ("pyproject.toml", "requirements.lock"):
        digest.update(name.encode() + b"\0" + (Path(root) / name).read_bytes())
    return digest.hexdigest()


def read_stamp(venv):
    """What the last finished set-up wrote: {"hash", "python", "test"}, or {} where none finished."""
    try:
        stamp = json.loads((Path(venv) / "skeinwright.json").read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return stamp if isinstance(stamp, dict) else {}


def write_stamp(venv, stamp):
    """Write the stamp in one move, so that half a stamp is never read."""
    temporary = Path(venv) / "skeinwright.json.new"
    temporary.write_text(json.dumps(stamp), encoding="utf-8")
    temporary.replace(Path(venv) / "skeinwright.json")


def is_ready(venv, wanted_hash, test, python_version=sys.version_info):
    """True where a finished set-up fits this checkout, this Python and what is asked for."""
    stamp = read_stamp(venv)
    fits = stamp.get("hash") == wanted_hash and stamp.get("python") == "{}.{}".format(*python_version[:2])
    return fits and (bool(stamp.get("test")) or not test) and venv_python(venv).exists()


# ---------------------------------------------------------------- setting up


def tell(text, end="\n"):
    """Write to stderr at once."""
    sys.stderr.write(text + end)
    sys.stderr.flush()


@contextlib.contextmanager
def one_at_a_time(root):
    """Let a second start wait while a first one sets up. The system drops the lock when a process dies, so none is ever left behind."""
    name = f"skeinwright-{hashlib.sha256(str(root).encode()).hexdigest()[:12]}.lock"
    try:
        held = (Path(tempfile.gettempdir()) / name).open("a+")
    except OSError:
        yield
        return
    with held:
        try:
            if os.name == "nt":
                import msvcrt

                held.seek(0)
                msvcrt.locking(held.fileno(), msvcrt.LK_LOCK, 1)
            else:
                import fcntl

                try:
                    fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
                except OSError:
                    tell("Another window is setting Skeinwright up; waiting for it.")
                    fcntl.flock(held, fcntl.LOCK_EX)
                os.set_inheritable(held.fileno(), True)  # an installer that outlives this process keeps the next start waiting
        except OSError:
            tell("Going on without waiting for other windows.")
        yield


def must_rebuild(venv):
    """True where the folder cannot be built upon: an interrupted set-up, another Python, or one that does not run."""
    if (venv / "unfinished").exists() or not venv_python(venv).exists():
        return True
    check = [str(venv_python(venv)), "-c", "import pip, sys; print('%d.%d' % sys.version_info[:2])"]
    try:
        found = subprocess.run(check, capture_output=True, text=True, timeout=60, check=False)
    except (OSError, subprocess.SubprocessError):
        return True
    return found.returncode != 0 or found.stdout.strip() != "{}.{}".format(*sys.version_info[:2])


def build_venv(venv):
    """Make a fresh virtual environment."""
    import venv as venv_module

    try:
        venv_module.EnvBuilder(clear=True, with_pip=True, symlinks=os.name != "nt").create(str(venv))
    except (OSError, subprocess.CalledProcessError) as error:
        raise CannotStart(f"The folder {venv} cannot be made ({error}): check that this place can be written to and has room, then start again.") from error


def progress(line, done, total):
    """What one line of the installer means for a person: (text to show or None, packages seen so far)."""
    if line.startswith("Collecting ") or line.startswith("Requirement already satisfied"):
        name = re.split(r"[ =<>~!;\[(]", line.replace("Requirement already satisfied: ", "Collecting "))[1]
        return f"Fetching {min(done + 1, total)} of about {total}: {name}", done + 1
    if line.startswith("Installing collected"):
        return "Installing", done
    return None, done


def install(venv, root, test):
    """Install the package and its parts, each held to the release in requirements.lock; show one line of progress."""
    what = "{}{}".format(root, "[test]" if test else "")
    pip = [str(venv_python(venv)), "-m", "pip", "install", "--disable-pip-version-check", "--no-input", "--retries", "2"]
    command = [*pip, "-c", str(Path(root) / "requirements.lock"), "-e", what]
    total, done, kept = (61 if test else 30), 0, []
    is_terminal = sys.stderr.isatty()
    with (venv / "setup.log").open("w", encoding="utf-8") as log:
        process = subprocess.Popen(
            command,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            stdin=subprocess.DEVNULL,
            text=True,
            encoding="utf-8",
            errors="replace",
            cwd=str(root),
            env={**os.environ, "PIP_USER": "0"},
            close_fds=False,
        )
        for line in process.stdout or ():
            log.write(line)
            kept.append(line)
            text, done = progress(line.strip(), done, total)
            if text and is_terminal:
                tell("\r" + text.ljust(60)[:60], end="")
            elif text == "Installing" or (text and done % 10 == 1):
                tell(text)
        code = process.wait()
    if is_terminal:
        tell("\r" + " " * 60 + "\r", end="")
    if code != 0:
        raise CannotStart(install_sentence("".join(kept[-400:]), venv / "setup.log"))


def set_up(root=ROOT, test=False):
    """Make sure that everything is installed; return the Python to use. The stamp is written last, so an interrupted set-up is redone."""
    venv, wanted = folder(root), fingerprint(root)
    if is_ready(venv, wanted, test):
        return venv_python(venv)
    with one_at_a_time(root):
        if is_ready(venv, wanted, test):
            return venv_python(venv)
        test = test or bool(read_stamp(venv).get("test"))
        tell(f"Setting Skeinwright up in {venv}: {COST[test]}. This happens once; no network is needed afterwards.")
        if must_rebuild(venv):
            build_venv(venv)
        (venv / "unfinished").write_text("Set-up was started and has not ended.\n", encoding="utf-8")
        with contextlib.suppress(FileNotFoundError):
            (venv / "skeinwright.json").unlink()
        install(venv, root, test)
        write_stamp(venv, {"hash": wanted, "python": "{}.{}".format(*sys.version_info[:2]), "test": test})
        (venv / "unfinished").unlink()
        tell("Set up.")
    return venv_python(venv)


# ---------------------------------------------------------------- what was asked for


ALSO_CALLED = {"colour": "dyes_from_swatches"}
"""A proof by its subject: a file called colour.py would stand for the library of that name."""


def proofs(root, name):
    """The proof files to run: all of them, or the one called `name`."""
    files = sorted((Path(root) / "proofs").glob("*.py"))
    found = [path for path in files if "__main__" in path.read_text(encoding="utf-8")]  # the others are what proofs share
    if name is None:
        return found
    wanted = ALSO_CALLED.get(name, name).removesuffix(".py").replace("-", "_")
    chosen = [path for path in found if path.stem == wanted]
    if not chosen:
        raise CannotStart("There is no proof called {}: choose one of {}.".format(name, ", ".join(path.stem for path in found) or "none yet"))
    return chosen


def run_proof(python, path, arguments, root):
    """Run one proof to its end; return its exit code."""
    tell(f"Proof: {path.stem}")
    return subprocess.call([str(python), str(path), *arguments], cwd=str(root))


def command_line(arguments):
    """What `skeinwright` is asked when run.py is given `arguments`: nothing, or only options, opens the studio."""
    if not arguments or (arguments[0].startswith("-") and arguments[0] != "--version"):
        return ["open", *arguments]
    return list(arguments)


def called(script=sys.argv[0], windows=os.name == "nt"):
    """How this was called, for what the program says to type."""
    return "{} {}".format("py" if windows else "python3", f'"{script}"' if " " in script else script)


def on_all_cores(arguments):
    """pytest's options for sharing the test files out among the cores; none where the caller has chosen for themselves, or wants one test under the eye."""
    chosen = any(argument.startswith(("-n", "--numprocesses", "--pdb", "--collect-only", "-s")) for argument in arguments)
    return [] if chosen else ["-n", "auto", "--dist", "loadfile"]


def hand_over(python, arguments):
    """Become `python arguments`, so that Ctrl-C, signals and the exit code are the command's own."""
    if os.name == "nt":
        with contextlib.suppress(KeyboardInterrupt):
            return subprocess.call([str(python), *arguments])
        return 130
    os.execv(str(python), [str(python), *arguments])
    return 0


def ask(arguments, root=ROOT):
    """Do what the arguments ask; return the exit code."""
    if arguments[:1] in (["--help"], ["-h"], ["help"]):
        tell(__doc__ or "")
        return 0
    if arguments[:1] == ["test"]:
        python = set_up(root, test=True)
        os.chdir(str(root))
        return hand_over(python, ["-m", "pytest", *on_all_cores(arguments[1:]), *arguments[1:]])
    if arguments[:1] == ["prove"]:
        chosen = proofs(root, arguments[1] if len(arguments) > 1 else None)
        python = set_up(root, test=True)
        codes = [run_proof(python, path, arguments[2:], root) for path in chosen]  # all of them, even where one fails
        return 1 if any(codes) else 0
    os.environ["SKEINWRIGHT_CALLED"] = called()
    return hand_over(set_up(root), ["-m", "skeinwright", *command_line(arguments)])


def main(arguments):
    """The whole of it: check this Python, then do what is asked. Exit 2 with one sentence where something is missing."""
    try:
        sentence = version_sentence(sys.version_info) or ("" if is_ready(folder(), fingerprint(), False) else venv_sentence())
        if sentence:
            raise CannotStart(sentence)
        return ask(arguments)
    except CannotStart as problem:
        tell(str(problem))
        return 2
    except OSError as problem:
        tell(f"Skeinwright cannot be set up here ({problem}): check that the folder {ROOT} is whole and can be written to, then start again.")
        return 2
    except KeyboardInterrupt:
        tell("\nStopped. Start again to go on; an interrupted set-up is redone.")
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
