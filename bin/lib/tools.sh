# Shared by bin/test and .ci/run: the programs the tests need beside the Python packages.
# shellcheck shell=bash

find_initdb() { command -v initdb || compgen -G '/usr/lib/postgresql/*/bin/initdb' >/dev/null; }
# Debian keeps it where only root's PATH leads.
find_nginx() { PATH=$PATH:/usr/sbin command -v nginx; }

# Installs what is missing, or says all of it in one sentence.
tools_install() {
    local missing=() packages=()
    tool_check() {
        if ! "${@:3}" >/dev/null 2>&1; then
            missing+=("$1")
            packages+=("$2")
        fi
    }
    tool_check Chromium chromium command -v chromium
    tool_check pdftotext poppler-utils command -v pdftotext
    tool_check qpdf qpdf command -v qpdf
    tool_check openssl openssl command -v openssl
    tool_check "the nginx proxy" nginx find_nginx
    tool_check "the Redis server" redis-server command -v redis-server
    tool_check "the PostgreSQL server" postgresql find_initdb
    if [ "${#missing[@]}" -eq 0 ]; then return; fi
    local list
    list=$(printf ', %s' "${missing[@]}")
    install_unstarted "For the tests ${list:2} would be" "${packages[@]}"
}

# Debian starts a server it installs, now and whenever the machine starts. The tests start their own and stop
# them; what came only for them is kept from listening on the machine's ports.
install_unstarted() (
    policy=/usr/sbin/policy-rc.d
    if can_install && ! [ -e "$policy" ]; then
        trap 'rm -f "$policy"' EXIT
        printf '#!/bin/sh\nexit 101\n' >"$policy"
        chmod 755 "$policy"
    fi
    debian_install "$@"
    for package in "${@:2}"; do
        if [ -e "/etc/init.d/$package" ]; then
            quietly update-rc.d "$package" disable || say "$package starts with the machine: see above." >&2
        fi
    done
)
