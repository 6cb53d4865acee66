// One finding of a text, with the results that it belongs to.
#pragma once
#include "tests/checker/checking.hpp"

namespace loomward::testing {

struct Told {
    Results results;
    const Finding* finding = nullptr;
    explicit operator bool() const { return finding != nullptr; }
};
inline Told told(const std::string& text, std::string_view rule, std::string_view subject = {}) {
    Told look{check_text(text), nullptr};
    look.finding = finding_of(look.results, rule, subject);
    return look;
}

}  // namespace loomward::testing
