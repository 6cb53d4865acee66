#include "checker/copies.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <tuple>
#include <utility>

namespace loomward {
namespace {

// How far beyond what it may: the ratio of a figure to its limit, whichever is larger; else what would pass.
double badness(const Finding& finding) {
    for (const Figure& limit : finding.figures) {
        if (limit.name != "limit" || limit.value == 0) continue;
        for (const Figure& figure : finding.figures)
            if (&figure != &limit && figure.dimension == limit.dimension && figure.value != 0)
                return std::max(std::abs(figure.value / limit.value), std::abs(limit.value / figure.value));
    }
    double most = 0;
    for (const Cure& cure : finding.cures)
        if (cure.at_least)
            most = std::max(most, cure.value);
        else if (cure.value != 0)
            most = std::max(most, 1 / std::abs(cure.value));
    return most;
}

bool is_worse(const Finding& one, const Finding& other) {
    if (one.possible != other.possible) return other.possible;
    return badness(one) > badness(other) * (1 + 1e-9);
}

Span declared_at(const Harness& harness, const Finding& finding) {
    if (finding.wire) return harness.wire(finding.wire).where;
    return finding.part ? harness.part(finding.part).where : Span();
}

struct Copies {
    std::size_t worst = 0;  // place in the list
    std::vector<std::string> others;
    bool alike = true;
};

void name_others(const Copies& copies, Finding& finding) {
    constexpr std::size_t most_named = 6;
    if (copies.others.empty() || copies.alike) return;
    std::string names;
    for (std::size_t i = 0; i < std::min(most_named, copies.others.size()); ++i)
        names += (i ? ", " : "") + copies.others[i];
    if (copies.others.size() > most_named)
        names += " and " + std::to_string(copies.others.size() - most_named) + " more";
    finding.working.push_back("the worst of its copies; the same, but milder: " + names);
}

}  // namespace

void fold_copies(const Harness& harness, std::vector<Finding>& findings) {
    // Copies of one statement; then what stands at one place and says the same.
    using Where = std::tuple<std::string, Span, Severity, std::uint32_t, std::optional<std::size_t>, Span>;
    std::map<Where, Copies> groups;
    std::vector<bool> stays(findings.size(), true);
    for (std::size_t i = 0; i < findings.size(); ++i) {
        const Finding& finding = findings[i];
        if (!finding.where.valid()) continue;
        const auto [found, fresh] =
            groups.try_emplace({finding.rule, finding.where, finding.severity, finding.mode.value,
                                finding.accepted, declared_at(harness, finding)},
                               Copies{i, {}, true});
        Copies& copies = found->second;
        Finding& worst = findings[copies.worst];
        if (fresh || (worst.part == finding.part && worst.wire == finding.wire)) continue;
        copies.alike = copies.alike && worst.beside == finding.beside && worst.possible == finding.possible;
        const bool takes = is_worse(finding, worst);
        const std::size_t milder = takes ? copies.worst : i;
        if (takes) {
            findings[i].copies = worst.copies;
            copies.worst = i;
        }
        copies.others.push_back(findings[milder].subject);
        stays[milder] = false;
        ++findings[copies.worst].copies;
    }
    for (const auto& [where, copies] : groups) name_others(copies, findings[copies.worst]);
    using Words = std::tuple<std::string, Span, Severity, std::uint32_t, std::optional<std::size_t>, bool,
                             std::string, std::string>;
    std::map<Words, std::size_t> first;
    std::vector<Finding> folded;
    for (std::size_t i = 0; i < findings.size(); ++i) {
        if (!stays[i]) continue;
        Finding& finding = findings[i];
        if (finding.where.valid()) {
            const auto [found, fresh] =
                first.try_emplace({finding.rule, finding.where, finding.severity, finding.mode.value,
                                   finding.accepted, finding.possible, finding.beside, finding.requirement},
                                  folded.size());
            const bool own = !fresh && folded[found->second].part == finding.part &&
                             folded[found->second].wire == finding.wire;
            if (!fresh && !own) {
                folded[found->second].copies += finding.copies;
                continue;
            }
        }
        folded.push_back(std::move(finding));
    }
    findings = std::move(folded);
}

}  // namespace loomward
