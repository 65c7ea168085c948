# Shared by bin/test and .ci/run: the programs the tests need beside the Python packages.
# shellcheck shell=bash

find_initdb() { command -v initdb || compgen -G '/usr/lib/postgresql/*/bin/initdb' >/dev/null; }

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
    tool_check "the Redis server" redis-server command -v redis-server
    tool_check "the PostgreSQL server" postgresql find_initdb
    if [ "${#missing[@]}" -eq 0 ]; then return; fi
    local list
    list=$(printf ', %s' "${missing[@]}")
    debian_install "For the tests ${list:2} would be" "${packages[@]}"
}
