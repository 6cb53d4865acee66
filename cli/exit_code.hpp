// What the program returns. The worst of all files given wins.
#pragma once
#include <algorithm>

namespace loomward::cli {

enum class ExitCode : int {
    fine = 0,      // nothing at error level (which is not to say that anything is safe)
    errors = 1,    // errors were found in a harness
    wrong = 2,     // the input, the command line or the place to write to is wrong
    internal = 3,  // the program itself failed
};

inline ExitCode worse(ExitCode a, ExitCode b) {
    return std::max(a, b);
}

}  // namespace loomward::cli
