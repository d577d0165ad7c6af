# shellcheck shell=bash
# Read by start and check: finds what is missing on this machine, and makes .venv from the locks.
# Everything here may run twice; what is there already is left as it is.

say() { printf '• %s\n' "$*"; }

# fail WHAT NEXT: what happened, and what to do now.
fail() {
    printf '\n%s\n%s\n' "$1" "$2" >&2
    exit 1
}

is_root() { [ "$(id -u)" = 0 ]; }

# Each has_… answers from what works, not from a package list, so that other systems pass as well.
has_python() { python3 -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; }
has_venv() { python3 -c 'import ensurepip, venv' 2>/dev/null; }
has_library() { python3 -c 'import ctypes, sys; ctypes.CDLL(sys.argv[1])' "$1" 2>/dev/null; }
has_font() { find /usr/share/fonts /usr/local/share/fonts -name '*.[to]t[fc]' 2>/dev/null | grep -q .; }
has_command() { command -v "$1" >/dev/null; }

# Prints the Debian packages without which the program does not start.
missing_for_setup() {
    has_python || echo python3
    has_venv || echo python3-venv
    # The database library comes built for 64-bit Intel and AMD; elsewhere pip builds it.
    [ "$(uname -m)" = x86_64 ] || [ -e .venv/installed ] || has_command cc || echo gcc python3-dev libsqlite3-dev
}

# Prints the Debian packages without which no PDF can be made.
missing_for_pdf() {
    has_library libpango-1.0.so.0 || echo libpango-1.0-0
    has_library libpangoft2-1.0.so.0 || echo libpangoft2-1.0-0
    has_library libharfbuzz-subset.so.0 || echo libharfbuzz-subset0
    has_font || echo fonts-dejavu-core
}

# install_packages PACKAGE…: as root, through the system's package manager.
install_packages() {
    has_command apt-get || fail "This system has no apt-get, and these Debian packages are missing: $*" \
        "Install what they hold with this system's own package manager, then run the same command again."
    local log
    say "Installing system packages: $*"
    log=$(mktemp)
    { apt-get -qq update && DEBIAN_FRONTEND=noninteractive apt-get -qq install --no-install-recommends "$@"; } \
        >"$log" 2>&1 </dev/null || {
        tail -n 15 "$log" >&2
        rm -f "$log"
        fail "The system packages could not be installed: $*" \
            "Read the lines above. Check the internet connection and that no other installation is running, then run the same command again."
    }
    rm -f "$log"
}

# The command for whoever may install packages here.
install_line() { printf '    sudo apt-get update && sudo apt-get install --no-install-recommends %s\n' "$*"; }

# prepare_machine: Python and the PDF libraries. Without Python it stops; without the others it goes on and says so.
prepare_machine() {
    local setup pdf
    setup=$(missing_for_setup | xargs)
    # Until Python is here the PDF libraries cannot be looked for; ask for all of them then.
    pdf=$(missing_for_pdf | xargs)
    [ -n "$setup$pdf" ] || return 0
    if is_root; then
        # shellcheck disable=SC2086  # a list of package names
        install_packages $setup $pdf
        has_python || fail "Python here is older than 3.11." "Use Debian 12 or newer, or install Python 3.11 or newer as python3."
        return 0
    fi
    if [ -n "$setup" ]; then
        fail "This machine lacks: $setup${pdf:+ $pdf}" \
            "Have its administrator run this, then run the same command again:
$(install_line "$setup" "$pdf")"
    fi
    say "No PDF can be made yet: this machine lacks $pdf. All else works. To mend it:"
    install_line "$pdf"
}

# own_hosts HOST NAME…: the names and addresses under which the program is opened when it listens on HOST, and NAMEs
# besides, as TRUSTED_HOSTS takes them. A browser that was led here under any other name is not answered.
own_hosts() {
    local host=$1
    shift
    {
        printf '%s\n' localhost 127.0.0.1 ::1 "$@"
        case $host in
            0.0.0.0 | ::)
                hostname -I 2>/dev/null | tr ' ' '\n'
                hostname 2>/dev/null
                # The name by which phones find it, where the machine announces it.
                hostname -s 2>/dev/null | sed 's/$/.local/'
                ;;
            *) printf '%s\n' "$host" ;;
        esac
    } | tr '[:upper:]' '[:lower:]' | sed -n -e 's/%.*//' -e '/:/s/.*/[&]/' -e '/^[][a-z0-9.:-]\{1,\}$/p' | awk '!seen[$0]++' | paste -sd ,
}

# wanted FILE…: names what .venv should hold: the locks, the project's own table, this folder and this Python.
wanted() {
    { cat pyproject.toml "$@"; pwd; python3 -c 'import sys; print(sys.version, sys.base_prefix)'; } | sha256sum | cut -d ' ' -f 1
}

# pip_install ARGUMENT…: quiet when it works; when not, the end of its log and what to do.
pip_install() {
    local log=.venv/pip.log
    .venv/bin/python -m pip install --disable-pip-version-check --no-input --retries 2 --timeout 30 "$@" \
        >"$log" 2>&1 </dev/null && return 0
    tail -n 12 "$log" >&2
    if grep -qiE 'connection|resol|timed out|unreachable' "$log"; then
        fail "The Python packages could not be fetched." "Check the internet connection (and any proxy), then run the same command again."
    fi
    if grep -qi 'no space left' "$log"; then
        fail "The disk is full." "Free about 500 MB, then run the same command again."
    fi
    fail "The Python packages could not be installed; the whole log is in $log." \
        "Read the lines above. If the log names a compiler, install gcc, python3-dev and libsqlite3-dev; then run the same command again."
}

# one_at_a_time COMMAND…: two tries at once would pull .venv from under each other, so the second waits.
one_at_a_time() {
    (
        flock -n 9 || { say "Another set-up is at work in this folder; waiting for it"; flock 9; }
        "$@"
    ) 9<. || exit
}

# make_environment: .venv with what the program needs. The stamp is written last, so a broken-off try is made anew.
make_environment() {
    local stamp=.venv/installed want
    want=$(wanted deploy/requirements.txt)
    if [ "$(cat "$stamp" 2>/dev/null)" = "$want" ] && [ -x .venv/bin/fieldlog ] && .venv/bin/python -c '' 2>/dev/null; then
        return 0
    fi
    if [ ! -e "$stamp" ] || ! .venv/bin/python -m pip --version >/dev/null 2>&1 || [ "$(cat .venv/folder 2>/dev/null)" != "$PWD" ]; then
        say "Making the Python environment in .venv"
        rm -rf .venv || fail "The old .venv cannot be removed." "It may belong to another user: remove the folder $PWD/.venv, then run the same command again."
        python3 -m venv .venv || fail "The Python environment could not be made in $PWD/.venv." \
            "Check that this folder can be written and that python3-venv is installed, then run the same command again."
        pwd >.venv/folder
    fi
    rm -f "$stamp"
    say "Installing the Python packages from deploy/requirements.txt (about a minute)"
    pip_install --require-hashes -r deploy/requirements.txt
    pip_install --no-deps --no-build-isolation -e .
    printf '%s\n' "$want" >"$stamp"
}
