#include "checker/held_requirements.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <string>
#include <utility>

#include "checker/parts/open_values.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/tables/conductors.hpp"

namespace loomward {

namespace {

using namespace literals;

enum class Of : std::uint8_t { smallest, largest };  // of a choice of ratings

double written_in(const RequiredFigure& required, Of which) {
    if (required.ratings.empty()) return required.least;
    return which == Of::smallest ? required.ratings.front() : required.ratings.back();
}

void state(Value& value, double figure, Dimension dimension) {
    value.type = ValueType::quantity;
    value.dimension = dimension;
    value.known = Knowledge::stated;
    value.lo = value.hi = figure;
}

// Parts of one type share their values: the most that is asked of any of them is written in.
void write_in(Harness& made, const Harness& judged, const Finding& finding, Of which) {
    const RequiredFigure& required = *finding.required;
    const double figure = written_in(required, which);
    if (finding.wire) {
        Quantity& field = *field_of(made.wires[finding.wire.index()], required.what);
        field = {figure, figure, required.dimension, Knowledge::stated};
        return;
    }
    const Attribute* found = judged.find(judged.part(finding.part).attributes, required.what);
    if (!found || found->count == 0) return;
    Value& place = made.value_store[found->first];
    if (place.known == Knowledge::stated && place.lo > figure) return;
    state(place, figure, required.dimension);
    if (required.at_V > 0 && found->count > 1)
        state(made.value_store[found->first + 1], required.at_V, Dimension::voltage);
}

bool is_near(double a, double b) {
    return std::abs(a - b) <= 5e-3 * std::abs(b);
}

// Raised to this or narrowed by it. False: it asks for nothing more.
bool take(RequiredFigure& required, double figure, bool at_least, Of which) {
    const double now = written_in(required, which);
    if (at_least ? figure <= now * (1 + 1e-9) : figure >= now * (1 - 1e-9)) return false;
    if (required.ratings.empty()) {
        if (!at_least) return false;
        required.least =
            required.dimension == Dimension::area ? standard_size_from(figure) : rounded_up(figure);
        return true;
    }
    std::vector<double> left;
    std::copy_if(required.ratings.begin(), required.ratings.end(), std::back_inserter(left),
                 [&](double rating) {
                     return at_least ? rating >= figure * (1 - 1e-9) : rating <= figure * (1 + 1e-9);
                 });
    if (left.empty()) return false;
    required.ratings = std::move(left);
    return true;
}

// Findings that ask for a figure, and what is told when all of these are written in.
class Holding {
  public:
    Holding(const Completion& completion, std::vector<Finding>& findings, std::size_t most_checks,
            const CheckAt& check_at)
        : judged_(*completion.harness),
          check_at_(check_at),
          may_step_(
              std::all_of(completion.taken.begin(), completion.taken.end(),
                          [](const TakenValue& taken) { return taken.open.attribute == "(area)"_attr; })),
          checks_left_(most_checks) {
        for (Finding& finding : findings) {
            if (!finding.required) continue;
            asking_.push_back(&finding);
            choices_ |= finding.required->ratings.size() > 1;
        }
        for (const Finding& finding : findings)
            if (finding.severity == Severity::error && !finding.asks() && !is_of_any(finding))
                known_.emplace(key_of(finding));
    }

    void run() {
        if (asking_.empty()) return;
        hold(Of::smallest);
        if (choices_) hold(Of::largest);
    }

  private:
    using Key = std::pair<std::string, std::string>;
    static Key key_of(const Finding& finding) { return {finding.rule, finding.subject}; }

    bool is_of_any(const Finding& finding) const {
        if (std::any_of(asking_.begin(), asking_.end(),
                        [&](const Finding* asking) { return speaks_of(finding, *asking); }))
            return true;
        return std::any_of(finding.hangs_on.begin(), finding.hangs_on.end(), [&](const OpenCause& cause) {
            return std::any_of(asking_.begin(), asking_.end(),
                               [&](const Finding* asking) { return asking->subject == cause.subject; });
        });
    }

    void hold(Of which) {
        stepped_.clear();
        while (checks_left_ > 0) {
            --checks_left_;
            auto made = std::make_shared<Harness>(judged_);
            for (const Finding* asking : asking_) write_in(*made, judged_, *asking, which);
            const std::vector<Finding> told = check_at_(made);
            bool more = false;
            for (const Finding& each : told)
                if (each.severity == Severity::error) more |= take_cures(each, which);
            for (const Finding& each : told)
                if (!more && may_step_ && each.severity == Severity::error && !known_.contains(key_of(each)))
                    more = take_step(each, which);
            if (more && checks_left_ > 0) continue;
            // What the smallest do not pass either is not for the larger of a choice to mend.
            for (const Finding& each : told)
                if (each.severity == Severity::error && known_.emplace(key_of(each)).second) take_back(each);
            return;
        }
    }

    // No size of a wire passes this, as far as was looked: it is as before the steps that were taken for it.
    void take_back(const Finding& told) {
        const auto found = stepped_.find(key_of(told));
        if (found == stepped_.end()) return;
        for (auto& [asking, before] : found->second) {
            asking->required->least = before;
            say(*asking);
            std::erase_if(asking->working,
                          [&](const std::string& line) { return line.starts_with(reason_of(told)); });
        }
    }

    bool take_cures(const Finding& told, Of which) {
        bool more = false;
        for (const Cure& cure : told.cures)
            for (Finding* asking : asking_)
                if (cure.what == asking->required->what && cure.part == asking->part &&
                    cure.wire == asking->wire && take(*asking->required, cure.value, cure.at_least, which)) {
                    reword(*asking, told);
                    more = true;
                }
        return more;
    }

    // Where no cure says how much: what the finding holds against the figure, or the next of its series.
    bool take_step(const Finding& told, Of which) {
        Finding* longest = nullptr;
        for (Finding* asking : asking_) {
            if (!speaks_of(told, *asking)) continue;
            RequiredFigure& required = *asking->required;
            const bool taken = asking->wire ? false
                               : required.ratings.size() > 1
                                   ? which == Of::largest && take_off_largest(required)
                                   : take_other_figure(required, told);
            if (taken) return reword(*asking, told), true;
            if (asking->wire && (!longest || loss_of(*asking) > loss_of(*longest))) longest = asking;
        }
        if (!longest || which == Of::largest) return false;
        RequiredFigure& required = *longest->required;
        const double before = required.least;
        const double next = standard_size_from(required.least * 1.01);
        if (next <= required.least * 1.01 || !take(required, next, true, which)) return false;
        stepped_[key_of(told)].try_emplace(longest, before);
        return reword(*longest, told), true;
    }

    static bool take_off_largest(RequiredFigure& required) {
        required.ratings.pop_back();
        return true;
    }

    static bool take_other_figure(RequiredFigure& required, const Finding& told) {
        const auto raise = [&](double& figure, Dimension dimension) {
            const bool held = std::any_of(told.figures.begin(), told.figures.end(), [&](const Figure& each) {
                return each.dimension == dimension && is_near(each.value, figure);
            });
            double most = figure;
            for (const Figure& each : told.figures)
                if (held && each.dimension == dimension) most = std::max(most, each.value);
            if (most <= figure * (1 + 1e-9)) return false;
            figure = rounded_up(most);
            return true;
        };
        return (required.ratings.empty() && raise(required.least, required.dimension)) ||
               (required.at_V > 0 && raise(required.at_V, Dimension::voltage));
    }

    bool speaks_of(const Finding& told, const Finding& asking) const {
        if (asking.wire) return told.wire == asking.wire || has_step(told, judged_.wire(asking.wire).name);
        const Part& part = judged_.part(asking.part);
        return told.part == asking.part || has_step(told, part.name) ||
               std::any_of(told.related.begin(), told.related.end(),
                           [&](const Related& each) { return each.where == part.where; });
    }
    static bool has_step(const Finding& told, std::string_view name) {
        return std::any_of(told.witness.begin(), told.witness.end(),
                           [&](const Step& step) { return step.name == name; });
    }

    double loss_of(const Finding& asking) const {
        const Quantity& length = judged_.wire(asking.wire).length;
        return (length.is_known() ? length.hi : 1) / asking.required->least;
    }

    static std::string reason_of(const Finding& told) {
        return "so that this passes: " + told.rule + " of " + told.subject + ", ";
    }

    // In words, wherever they stand.
    static void say(Finding& asking) {
        const std::string before = std::exchange(asking.requirement, to_text(*asking.required));
        for (std::string& line : asking.working)
            if (const std::size_t at = line.find(it_has_to + before); at != std::string::npos)
                line.replace(at + it_has_to.size(), before.size(), asking.requirement);
    }

    static void reword(Finding& asking, const Finding& told) {
        say(asking);
        std::erase_if(asking.working,
                      [&](const std::string& line) { return line.starts_with(reason_of(told)); });
        asking.working.push_back(reason_of(told) + told.beside);
    }

    inline static const std::string it_has_to = "it has to ";

    const Harness& judged_;
    const CheckAt& check_at_;
    bool may_step_;
    std::vector<Finding*> asking_;
    std::set<Key> known_;                                // errors that no figure asked for here mends
    std::map<Key, std::map<Finding*, double>> stepped_;  // wires, with what they were before
    std::size_t checks_left_;
    bool choices_ = false;
};

}  // namespace

void hold_requirements(const Completion& completion, std::vector<Finding>& findings, std::size_t most_checks,
                       const CheckAt& check_at) {
    Holding(completion, findings, most_checks, check_at).run();
}

}  // namespace loomward
