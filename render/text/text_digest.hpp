// What is to be done first, as text.
#pragma once
#include <string>

#include "checker/answers/digest.hpp"

namespace loomward {

// At most twelve lines of at most text_columns: whether it may be switched on, what bars the first step that
// is barred, a line each, what bars the later ones, and what works badly. `brief`: at most two lines. Empty
// where nothing at error or warning level is certain or possible and every mode was solved.
std::string digest_text(const Results& results, const Digest& digest, bool brief, bool color);

// "start with W57, F4 and 3 more, before the pack is connected"; empty without causes.
std::string start_text(const Results& results, const Digest& digest);

}  // namespace loomward
