// One text through everything that takes a text: reading, checking, drawing, telling, formatting. What goes
// wrong is an exception, a crash, or a sentence here.
#pragma once
#include <string>

namespace fuzz {

struct Round {
    bool checked = false;      // it is a harness
    std::string trouble = {};  // empty: nothing is wrong
};

Round go_round(const std::string& text);

}  // namespace fuzz
