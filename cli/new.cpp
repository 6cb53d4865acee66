#include <fmt/format.h>

#include "checker/results.hpp"
#include "cli/commands.hpp"
#include "cli/files.hpp"
#include "cli/terminal.hpp"
#include "parser/disk.hpp"
#include "parser/read.hpp"
#include "render/text/text.hpp"

namespace loomward::cli {

// Writes nothing that does not read back, and never over a file that is there.
ExitCode write_first_harness(const Options& options) {
    const std::string& path = options.files.front();
    const std::string text = first_harness_text(options.first);
    const std::unique_ptr<FileReader> disk = disk_reader();
    const ReadResult read = read_harness_text(path, text, *disk, {});
    if (!read.harness) {
        complain("what was told makes no harness; nothing was written\n" +
                 mistakes_text(read.mistakes, *read.sources, false));
        return ExitCode::wrong;
    }
    if (path == "-") {
        print(text);
        return ExitCode::fine;
    }
    if (const std::string trouble = write_new_file(path, text); !trouble.empty()) {
        complain(trouble);
        return ExitCode::wrong;
    }
    print(
        fmt::format("{}: written, {} parts and {} wires; what was not told is left out, and not known\n"
                    "next: loomward check {}\n",
                    path, read.harness->parts.size(), read.harness->wires.size(), path));
    return ExitCode::fine;
}

}  // namespace loomward::cli
