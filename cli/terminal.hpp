// The two streams. Findings go to standard output, trouble to standard error.
#pragma once
#include <string_view>

#include "cli/exit_code.hpp"
#include "cli/options.hpp"

namespace loomward::cli {

// Makes sure that the three standard descriptors are taken, so that no file that is opened later gets the
// number of a closed one and is written to by mistake. Call first.
void hold_standard_streams();

void print(std::string_view text);
// One line: "loomward: cannot read 'x.loom': Permission denied".
void complain(std::string_view trouble);

// Whether standard output takes colours by that choice.
bool colored(ColorChoice choice);

// The code to end with: `code`, or `wrong`, said on standard error, if not all that was printed got out.
ExitCode finish(ExitCode code);

}  // namespace loomward::cli
