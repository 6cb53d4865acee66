#include "checker/acceptances.hpp"

#include <algorithm>
#include <map>

namespace loomward {

extern const RuleInfo unused_acceptance;
const RuleInfo unused_acceptance{
    "unused-acceptance",
    "a line that accepts a finding which is not there: what it was written for may have moved or been mended",
    "every acceptance answers to a finding",
    "the file itself",
    "not looked for when only one mode is checked; a line that names a mode answers to what is found in that "
    "mode alone, and what it accepts there is still told where another mode has it too",
    "splice X1\naccept overloaded-wire on W2 because \"short and in free air\"",
    "splice X1"};

namespace {

// Whatever the finding says in that unit is not more than was accepted.
bool within(const Quantity& up_to, const Finding& finding) {
    bool says = false;
    for (const Figure& figure : finding.figures) {
        if (figure.dimension != up_to.dimension) continue;
        says = true;
        if (figure.value > up_to.lo * 1.0001) return false;
    }
    return says;
}

// A contact has a name on either half.
bool is_at(const Harness& harness, TerminalId terminal, const Finding& finding) {
    if (finding.subject == harness.terminal(terminal).path) return true;
    const Part& part = harness.part(harness.terminal(terminal).part);
    if (part.kind != Kind::connector) return false;
    const std::size_t half = part.terminals.count / 2, place = terminal.index() - part.terminals.first;
    const TerminalId other(part.terminals.first + (place < half ? place + half : place - half));
    return finding.subject == harness.terminal(other).path;
}

// An accepted finding is accepted for the one thing that is named.
bool about(const Harness& harness, const Acceptance& acceptance, const Finding& finding) {
    if (acceptance.rule != finding.rule) return false;
    if (acceptance.mode && finding.mode && acceptance.mode != finding.mode) return false;
    if (acceptance.mode && !finding.mode) return false;
    if (acceptance.up_to && !within(*acceptance.up_to, finding)) return false;
    if (acceptance.wire) return acceptance.wire == finding.wire;
    if (acceptance.terminal) return is_at(harness, *acceptance.terminal, finding);
    if (acceptance.part) return acceptance.part == finding.part;
    if (acceptance.bundle) return finding.subject == acceptance.on;
    return !finding.part && !finding.wire;
}

// The findings of single modes, looked at when they are first asked for.
class Alone {
  public:
    explicit Alone(const std::function<std::vector<Finding>(ModeId)>& look) : look_(look) {}
    const std::vector<Finding>& in(ModeId mode) {
        const auto known = found_.find(mode);
        return known != found_.end() ? known->second : found_[mode] = look_(mode);
    }

  private:
    const std::function<std::vector<Finding>(ModeId)>& look_;
    std::map<ModeId, std::vector<Finding>> found_;
};

bool is_accepted(const Harness& harness, const Finding& finding) {
    return std::any_of(harness.acceptances.begin(), harness.acceptances.end(),
                       [&](const Acceptance& each) { return about(harness, each, finding); });
}

// What an acceptance for one mode leaves: the same thing in the gravest of the other modes.
std::optional<Finding> left_elsewhere(const Harness& harness, const Finding& accepted, Alone& alone) {
    std::optional<Finding> worst;
    for (std::size_t i = 0; i < harness.modes.size(); ++i) {
        if (ModeId(i) == accepted.mode) continue;
        for (const Finding& other : alone.in(ModeId(i)))
            if (is_same_thing(other, accepted) && !is_accepted(harness, other) &&
                (!worst || other.severity < worst->severity))
                worst = other;
    }
    return worst;
}

Finding unused(const Acceptance& acceptance) {
    Finding note;
    note.rule = unused_acceptance.name;
    note.severity = Severity::note;
    note.where = acceptance.where;
    note.subject = acceptance.on;
    note.message = "nothing was found that this line accepts";
    note.beside = std::string(acceptance.rule) + " on " + std::string(acceptance.on);
    note.source = "the file itself";
    note.help = "take the line out, or look at what it was written for";
    return note;
}

}  // namespace

void apply_acceptances(const Harness& harness, std::vector<Finding>& findings,
                       const std::function<std::vector<Finding>(ModeId)>& look) {
    Alone alone(look);
    std::vector<bool> used(harness.acceptances.size(), false);
    std::vector<Finding> more;
    for (Finding& finding : findings) {
        for (std::size_t i = 0; i < harness.acceptances.size(); ++i)
            if (about(harness, harness.acceptances[i], finding)) {
                finding.accepted = i;
                used[i] = true;
            }
        if (finding.accepted && harness.acceptances[*finding.accepted].mode)
            if (std::optional<Finding> left = left_elsewhere(harness, finding, alone);
                left && std::none_of(findings.begin(), findings.end(), [&](const Finding& each) {
                    return is_same_thing(each, *left) && each.mode == left->mode;
                }))
                more.push_back(std::move(*left));
    }
    for (std::size_t i = 0; i < used.size(); ++i) {
        const Acceptance& acceptance = harness.acceptances[i];
        if (acceptance.mode && !used[i]) {
            const std::vector<Finding>& there = alone.in(acceptance.mode);
            used[i] = std::any_of(there.begin(), there.end(), [&](const Finding& finding) {
                return about(harness, acceptance, finding);
            });
        }
        if (!used[i]) more.push_back(unused(acceptance));
    }
    findings.insert(findings.end(), more.begin(), more.end());
}

}  // namespace loomward
