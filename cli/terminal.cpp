#include "cli/terminal.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <string>

#include "render/text/characters.hpp"

namespace loomward::cli {
namespace {

int first_failure = 0;  // errno of the first write to standard output that failed

}  // namespace

void hold_standard_streams() {
    for (int descriptor = 0; descriptor <= STDERR_FILENO; ++descriptor) {
        if (::fcntl(descriptor, F_GETFD) != -1 || errno != EBADF) continue;
        // The wrong way round, so that using it still fails.
        const int opened = ::open("/dev/null", descriptor == STDIN_FILENO ? O_WRONLY : O_RDONLY);
        if (opened < 0) return;
    }
}

void print(std::string_view text) {
    if (first_failure != 0) return;
    const bool written = std::fwrite(text.data(), 1, text.size(), stdout) == text.size();
    if (!written || std::fflush(stdout) != 0) first_failure = errno;
}

void complain(std::string_view trouble) {
    // One character at a time from a file's name is as dangerous as from its text.
    std::string line = "loomward: ";
    for (std::size_t at = 0; at < trouble.size();) {
        const std::size_t stop = std::min(trouble.find('\n', at), trouble.size());
        line += printable(trouble.substr(at, stop - at)) + "\n";
        at = stop + 1;
    }
    std::fwrite(line.data(), 1, line.size(), stderr);
}

bool colored(ColorChoice choice) {
    if (choice != ColorChoice::automatic) return choice == ColorChoice::always;
    const char* no_color = std::getenv("NO_COLOR");
    const char* terminal = std::getenv("TERM");
    if (no_color && *no_color) return false;
    if (terminal && std::strcmp(terminal, "dumb") == 0) return false;
    return ::isatty(STDOUT_FILENO) == 1;
}

ExitCode finish(ExitCode code) {
    if (first_failure == 0) return code;
    complain(std::string("cannot write to standard output: ") + std::strerror(first_failure));
    return worse(code, ExitCode::wrong);
}

}  // namespace loomward::cli
