# Shared by the scripts in bin/: short messages, and Debian packages where they are missing.
# shellcheck shell=bash

say() { printf '%s\n' "$*"; }

stop() {
    printf '%s\n' "$*" >&2
    exit 1
}

# Runs a command silently; shows what it printed only when it fails.
quietly() {
    local log status=0
    log=$(mktemp)
    "$@" >"$log" 2>&1 || status=$?
    if [ "$status" -ne 0 ]; then
        cat "$log" >&2
    fi
    rm -f "$log"
    return "$status"
}

can_install() { [ "$(id -u)" -eq 0 ] && [ -f /etc/debian_version ] && command -v apt-get >/dev/null; }

# debian_install WHAT PACKAGE... : installs with apt as root on Debian; says the command otherwise.
debian_install() {
    local what=$1
    shift
    if ! can_install; then
        stop "$what missing. Install it and start again; on Debian: sudo apt-get install $*"
    fi
    say "Installing with apt: $*"
    quietly apt-get -qq update || say "apt-get update failed; going on with the package lists that are here." >&2
    quietly env DEBIAN_FRONTEND=noninteractive apt-get -qq -y -o Dpkg::Use-Pty=0 \
        install --no-install-recommends "$@" ||
        stop "$what missing, and apt could not install it (see above). Then start again."
}

hash_of() { cat "$@" | sha256sum | cut -d' ' -f1; }
