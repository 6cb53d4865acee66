// From a file named on the command line to the session that answers everything about it.
#pragma once
#include <string>

#include "cli/exit_code.hpp"
#include "cli/options.hpp"
#include "render/session/session.hpp"

namespace loomward::cli {

// Reads the file, or standard input, and looks at it; a file that cannot be read is trouble of the session.
Session examine(const std::string& path, const SessionOptions& options = {});

// 2 without results, 1 with errors among them.
ExitCode code_of(const Session& session);

// Whether there are results. If not, what is wrong is said on standard error: "cart.loom has mistakes, so
// nothing was written", and they.
bool has_results(const Session& session, const std::string& so = "nothing was written");

// To a file, or to standard output for "-" and "". False: it could not be written, which is said.
bool put(const std::string& output, const std::string& bytes);

// Examines each file (`mode`: see SessionOptions) and prints one document, or the text of each with its
// verdict, an empty line between two.
ExitCode tell_each(const Options& options, const std::string& mode, Told what);

}  // namespace loomward::cli
