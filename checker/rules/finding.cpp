#include "checker/rules/finding.hpp"

namespace loomward {

Finding::Finding() = default;
Finding::~Finding() = default;
Finding::Finding(const Finding&) = default;
Finding::Finding(Finding&&) noexcept = default;
Finding& Finding::operator=(const Finding&) = default;
Finding& Finding::operator=(Finding&&) noexcept = default;

bool is_same_thing(const Finding& a, const Finding& b) {
    return a.rule == b.rule && a.subject == b.subject && a.part == b.part && a.wire == b.wire;
}

}  // namespace loomward
