#include "checker/rules/finding.hpp"

namespace loomward {

Finding::Finding() = default;
Finding::~Finding() = default;
Finding::Finding(const Finding&) = default;
Finding::Finding(Finding&&) noexcept = default;
Finding& Finding::operator=(const Finding&) = default;
Finding& Finding::operator=(Finding&&) noexcept = default;

}  // namespace loomward
