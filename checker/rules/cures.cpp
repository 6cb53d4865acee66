#include "checker/rules/cures.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <tuple>

#include "checker/rules/cure_text.hpp"

namespace loomward {
namespace {

Cure figure(std::string_view where, Attr what, bool at_least, double value, Dimension dimension) {
    Cure cure;
    cure.what = what;
    cure.where = std::string(where);
    cure.at_least = at_least;
    cure.value = value;
    cure.dimension = dimension;
    return cure;
}

Cure at_part(const Harness& harness, PartId part, Attr what, bool at_least, double value,
             Dimension dimension) {
    Cure cure = figure(harness.part(part).name, what, at_least, value, dimension);
    cure.part = part;
    return cure;
}

Cure at_wire(const Harness& harness, WireId wire, Attr what, bool at_least, double value,
             Dimension dimension) {
    Cure cure = figure(harness.wire(wire).name, what, at_least, value, dimension);
    cure.wire = wire;
    return cure;
}

// Puts the figure that passes all in place of the one that a help line printed, as rules round them: to whole
// amperes or volts, or not at all. A help line that prints neither stays.
void say_instead(std::string& help, const Cure& cure, double printed) {
    const auto whole = [&](double value) { return cure.at_least ? std::ceil(value) : std::floor(value); };
    const auto text = [&](double value) { return to_text(value, cure.dimension); };
    for (const std::string& before : {text(whole(printed)), text(printed)}) {
        const std::size_t at = help.find(before);
        const bool inside = at != std::string::npos && at > 0 && help[at - 1] != ' ';
        if (at == std::string::npos || inside) continue;
        Cure told = cure;
        if (before == text(whole(printed))) told.value = whole(cure.value);
        help.replace(at, before.size(), text(rounded_to_pass(told)));
        return;
    }
}

}  // namespace

Cure at_least(const Harness& harness, PartId part, Attr what, double value, Dimension dimension) {
    return at_part(harness, part, what, true, value, dimension);
}

Cure at_most(const Harness& harness, PartId part, Attr what, double value, Dimension dimension) {
    return at_part(harness, part, what, false, value, dimension);
}

Cure at_least(const Harness& harness, TerminalId at, Attr what, double value, Dimension dimension) {
    Cure cure = figure(harness.terminal(at).path, what, true, value, dimension);
    cure.part = harness.terminal(at).part;
    cure.terminal = at;
    return cure;
}

Cure at_least(const Harness& harness, WireId wire, Attr what, double value, Dimension dimension) {
    return at_wire(harness, wire, what, true, value, dimension);
}

Cure at_most(const Harness& harness, WireId wire, Attr what, double value, Dimension dimension) {
    return at_wire(harness, wire, what, false, value, dimension);
}

Cure or_else(Cure cure, std::uint8_t way) {
    cure.way = way;
    return cure;
}

double least_that_passes(double first, const std::function<double(double)>& asked) {
    constexpr int most_rounds = 30;
    double rating = first;
    for (int round = 0; round < most_rounds; ++round) {
        const double wanted = asked(rating);
        if (wanted <= rating * (1 + 1e-9)) break;
        rating = wanted;
    }
    return rating;
}

void ask_more(std::vector<Finding>& findings, const Finding& other) {
    for (Finding& finding : findings) {
        if (finding.rule != other.rule || finding.subject != other.subject) continue;
        for (const Cure& more : other.cures)
            for (Cure& cure : finding.cures) {
                if (cure.what != more.what || cure.where != more.where || cure.dimension != more.dimension ||
                    !cure.at_least || !more.at_least || cure.value >= more.value)
                    continue;
                const double before = cure.value;
                cure.value = more.value;
                say_instead(finding.help, cure, before);
            }
    }
}

void bring_together(std::vector<Finding>& findings) {
    std::map<std::tuple<Attr, std::string_view, bool, Dimension>, double> strictest;
    const auto key = [](const Cure& cure) {
        return std::tuple(cure.what, std::string_view(cure.where), cure.at_least, cure.dimension);
    };
    for (const Finding& finding : findings) {
        if (finding.accepted) continue;
        for (const Cure& cure : finding.cures) {
            const auto [at, fresh] = strictest.emplace(key(cure), cure.value);
            if (!fresh)
                at->second =
                    cure.at_least ? std::max(at->second, cure.value) : std::min(at->second, cure.value);
        }
    }
    for (Finding& finding : findings)
        for (Cure& cure : finding.cures)
            if (const auto at = strictest.find(key(cure)); at != strictest.end()) {
                const double before = cure.value;
                cure.value = at->second;
                say_instead(finding.help, cure, before);
            }
}

}  // namespace loomward
