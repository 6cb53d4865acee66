#include "checker/thresholds.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "checker/possible.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double told_apart = 1.005;  // so close two values are one
constexpr int most_halvings = 40;
constexpr std::size_t most_values = 6;  // of one finding

class Finder {
  public:
    Finder(const Completion& completion, std::size_t most_checks, const CheckOne& check_one)
        : completion_(completion), left_(most_checks), check_one_(check_one) {}

    void look_at(Finding& finding) {
        std::size_t tried = 0;
        for (OpenCause& cause : finding.hangs_on) {
            const std::optional<std::size_t> taken = only_one(cause);
            if (!taken) continue;
            if (tried++ == most_values || left_ < 2) return;
            cause.turns = turns_at(finding, *taken);
        }
    }

  private:
    // The taken value that a cause means; none where there are several, or where the range is one by nature.
    std::optional<std::size_t> only_one(const OpenCause& cause) const {
        std::optional<std::size_t> only;
        for (std::size_t i = 0; i < completion_.taken.size(); ++i) {
            const OpenValue& open = completion_.taken[i].open;
            if (open.subject != cause.subject || open.name != cause.name) continue;
            if (only || is_of_a_battery(open)) return {};
            only = i;
        }
        return only;
    }

    std::optional<Turn> turns_at(const Finding& finding, std::size_t taken) {
        const Quantity& range = completion_.taken[taken].range;
        double quiet = range.lo, told = range.hi;
        const bool at_low = tells_at(finding, taken, quiet), at_high = tells_at(finding, taken, told);
        if (at_low == at_high) return {};
        if (at_low) std::swap(quiet, told);
        for (int i = 0; i < most_halvings && !close(quiet, told, range); ++i) {
            if (left_ == 0) return {};
            const double middle = quiet > 0 && told > 0 ? std::sqrt(quiet * told) : (quiet + told) / 2;
            (tells_at(finding, taken, middle) ? told : quiet) = middle;
        }
        if (!close(quiet, told, range) || !quiet_in_mixtures(finding, taken, quiet)) return {};
        return Turn{{std::min(quiet, told), std::max(quiet, told), range.dimension}, told > quiet};
    }

    // What is told of ends alone is told on the quiet side too.
    bool quiet_in_mixtures(const Finding& finding, std::size_t taken, double value) {
        const Quantity& range = completion_.taken[taken].range;
        for (std::size_t mixture = 0; mixture < mixtures; ++mixture)
            if (is_told(finding, pinned(completion_, [&](std::size_t i) {
                            return i == taken ? (value - range.lo) / (range.hi - range.lo)
                                              : place_in(completion_, mixture, i);
                        })))
                return false;
        return true;
    }

    static bool close(double one, double other, const Quantity& range) {
        const auto [low, high] = std::minmax(one, other);
        return high <= low * told_apart || high - low <= 1e-6 * (range.hi - range.lo);
    }

    bool tells_at(const Finding& finding, std::size_t taken, double value) {
        return is_told(finding, with_value(completion_, taken, value));
    }

    bool is_told(const Finding& finding, const std::shared_ptr<const Harness>& changed) {
        if (left_ > 0) --left_;
        const Harness& harness = *completion_.harness;
        const std::string_view mode =
            finding.mode.valid() ? std::string_view(harness.modes[finding.mode.index()].name) : "";
        const std::vector<Finding> now = check_one_(changed, mode, finding.rule);
        return std::any_of(now.begin(), now.end(), [&](const Finding& each) {
            return each.rule == finding.rule && each.subject == finding.subject &&
                   each.severity <= finding.severity && (each.mode == finding.mode || !each.mode.valid());
        });
    }

    const Completion& completion_;
    std::size_t left_;
    const CheckOne& check_one_;
};

}  // namespace

void find_thresholds(const Completion& completion, std::vector<Finding>& findings, std::size_t most_checks,
                     const CheckOne& check_one) {
    Finder finder(completion, most_checks, check_one);
    for (const Severity severity : {Severity::error, Severity::warning})
        for (Finding& finding : findings)
            if (finding.possible && finding.severity == severity && !finding.asks()) finder.look_at(finding);
}

}  // namespace loomward
