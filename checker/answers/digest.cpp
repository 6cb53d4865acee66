#include "checker/answers/digest.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <tuple>

#include "checker/answers/live_steps.hpp"

namespace loomward {

namespace {

struct DangerRow {
    Danger danger;
    std::string_view rule;
};
// Rules that are not named are `other`.
constexpr auto danger_rows = std::to_array<DangerRow>({
    {Danger::unguarded, "unprotected-wire"},
    {Danger::unguarded, "bypassed-fuse"},
    {Danger::unguarded, "dead-short"},
    {Danger::unguarded, "short-when-closed"},
    {Danger::unguarded, "family-rating"},
    {Danger::unguarded, "fuse-voltage"},
    {Danger::unguarded, "fuse-breaking-capacity"},
    {Danger::unguarded, "no-fuse-between-packs"},
    {Danger::unguarded, "joined-packs"},
    {Danger::unguarded, "string-fuse"},
    {Danger::held_on, "no-disconnect"},
    {Danger::held_on, "bridged-contact"},
    {Danger::held_on, "idle-contact"},
    {Danger::held_on, "back-feed"},
    {Danger::held_on, "fed-backwards"},
    {Danger::held_on, "no-precharge"},
    {Danger::held_on, "contact-voltage"},
    {Danger::held_on, "making-current"},
    {Danger::held_on, "breaking-current"},
    {Danger::held_on, "stays-latched"},
    {Danger::held_on, "held-coil"},
    {Danger::held_on, "idle-stop"},
    {Danger::held_on, "starts-again"},
    {Danger::held_on, "brake-open-at-rest"},
    {Danger::held_on, "fed-at-rest"},
    {Danger::burns, "slow-clearing"},
    {Danger::burns, "insufficient-fault-current"},
    {Danger::burns, "oversized-fuse"},
    {Danger::burns, "parallel-conductors"},
    {Danger::burns, "overdrawn-pack"},
    {Danger::burns, "overdrawn-bms"},
    {Danger::burns, "setting-too-high"},
    {Danger::burns, "insulation-mixed"},
    {Danger::burns, "pack-too-hot"},
    {Danger::burns, "unlike-packs"},
    {Danger::breaks_a_part, "input-voltage"},
    {Danger::breaks_a_part, "stored-overvoltage"},
    {Danger::breaks_a_part, "wrong-rail"},
    {Danger::breaks_a_part, "reversed"},
    {Danger::breaks_a_part, "charge-voltage"},
    {Danger::breaks_a_part, "coil-voltage"},
    {Danger::breaks_a_part, "freewheel-diode"},
    {Danger::works_badly, "floating"},
    {Danger::works_badly, "open-ended"},
    {Danger::works_badly, "unmet-contact"},
    {Danger::works_badly, "opposed-panels"},
    {Danger::works_badly, "unwired-pin"},
    {Danger::works_badly, "undervoltage"},
    {Danger::works_badly, "voltage-drop"},
    {Danger::works_badly, "unused-acceptance"},
    {Danger::works_badly, "nuisance-trip"},
    {Danger::works_badly, "starting-sag"},
});

constexpr std::string_view at_contact[] = {"contact-voltage", "breaking-current", "making-current",
                                           "coil-suppression"};

bool is_counted(const Finding& finding) {
    return finding.severity != Severity::note && !finding.accepted && !finding.asks() && !finding.possible;
}

class Ordering {
  public:
    explicit Ordering(const Results& results) : results_(results), live_(results) {}

    // Absent: it bars none.
    std::optional<std::size_t> step_of(const Finding& finding) const {
        if (danger_of(finding.rule) == Danger::works_badly) return std::nullopt;
        if (finding.part &&
            std::find(std::begin(at_contact), std::end(at_contact), finding.rule) != std::end(at_contact))
            return live_.of_contact(finding.part);
        if (finding.mode) return finding.mode.index() + 1;
        if (finding.wire) return live_.of_wire(finding.wire);
        if (finding.part) return live_.of_part(finding.part);
        return 0;
    }

    // Part, wire or mode; contacts count as their connector.
    std::string place_of(const Finding& finding) const {
        if (finding.part) return std::string(results_.harness->part(finding.part).name);
        return finding.subject;
    }

  private:
    const Results& results_;
    LiveSteps live_;
};

// A pack that is turned round shorts what it is joined to.
Danger danger_in(const Results& results, const Finding& finding) {
    const bool pack = finding.part && results.harness->part(finding.part).kind == Kind::pack;
    return pack && finding.rule == "reversed" ? Danger::unguarded : danger_of(finding.rule);
}

// By how bad the worst of it is, certain errors first.
struct Rank {
    bool bars_none;
    std::size_t step;
    Severity severity;
    Danger danger;
    std::size_t first;  // as the file has it

    auto operator<=>(const Rank&) const = default;
};

Rank rank_of(const Cause& cause, const Results& results) {
    const Finding& worst = results.findings[cause.findings.front()];
    return {!cause.step, cause.step.value_or(0), worst.severity, danger_in(results, worst),
            cause.findings.front()};
}

// Of which the same is told in the same words, but for the name: those of one kind with the same mistake.
using Likeness = std::tuple<std::size_t, std::string, std::string, std::string>;
Likeness likeness_of(const Cause& cause, const Results& results) {
    std::string rules, besides;
    for (const std::size_t i : cause.findings) {
        rules += results.findings[i].rule + " ";
        besides += results.findings[i].beside + "\n";
    }
    const Finding& worst = results.findings[cause.findings.front()];
    return {cause.step ? *cause.step + 1 : 0, rules, besides, worst.help};
}

std::vector<Cause> causes_of(const Results& results, const Ordering& ordering) {
    std::map<std::string, Cause> by_place;
    for (std::size_t i = 0; i < results.findings.size(); ++i) {
        const Finding& finding = results.findings[i];
        if (!is_counted(finding)) continue;
        Cause& cause = by_place[ordering.place_of(finding)];
        const std::optional<std::size_t> step = ordering.step_of(finding);
        if (cause.findings.empty())
            cause.step = step;
        else if (step)
            cause.step = std::min(cause.step.value_or(*step), *step);
        cause.findings.push_back(i);
    }
    std::vector<Cause> causes;
    for (auto& [place, cause] : by_place) {
        std::stable_sort(cause.findings.begin(), cause.findings.end(), [&](std::size_t a, std::size_t b) {
            const Finding &one = results.findings[a], &other = results.findings[b];
            return std::tuple(one.severity, danger_in(results, one)) <
                   std::tuple(other.severity, danger_in(results, other));
        });
        cause.subject = place;
        causes.push_back(std::move(cause));
    }
    std::sort(causes.begin(), causes.end(),
              [&](const Cause& a, const Cause& b) { return rank_of(a, results) < rank_of(b, results); });
    return causes;
}

std::vector<Cause> alike_together(std::vector<Cause> causes, const Results& results) {
    std::map<Likeness, std::size_t> place;
    std::vector<Cause> together;
    for (Cause& cause : causes) {
        const auto [found, fresh] = place.try_emplace(likeness_of(cause, results), together.size());
        if (fresh) {
            together.push_back(std::move(cause));
            continue;
        }
        Cause& first = together[found->second];
        first.alike.push_back(cause.subject);
        first.findings.insert(first.findings.end(), cause.findings.begin(), cause.findings.end());
    }
    return together;
}

}  // namespace

Danger danger_of(std::string_view rule) {
    for (const DangerRow& row : danger_rows)
        if (row.rule == rule) return row.danger;
    return rule.starts_with("overloaded-") || rule.starts_with("overheated-") ? Danger::burns : Danger::other;
}

std::vector<std::string_view> ranked_rules() {
    std::vector<std::string_view> rules;
    for (const DangerRow& row : danger_rows) rules.push_back(row.rule);
    return rules;
}

Digest digest_of(const Results& results) {
    Digest digest;
    const Ordering ordering(results);
    const std::size_t modes = results.harness->modes.size();
    digest.steps.emplace_back();
    for (std::size_t m = 0; m < modes; ++m) digest.steps.push_back({ModeId(m)});
    digest.causes = alike_together(causes_of(results, ordering), results);
    std::vector<bool> placed(results.findings.size(), false);
    for (const Cause& cause : digest.causes)
        for (const std::size_t i : cause.findings) {
            digest.order.push_back(i);
            placed[i] = true;
        }
    for (std::size_t i = 0; i < placed.size(); ++i)
        if (!placed[i]) digest.order.push_back(i);
    for (std::size_t m = 0; m < modes; ++m) {
        const bool unsolved = std::any_of(
            results.points.begin(), results.points.end(),
            [&](const OperatingPoint& point) { return point.mode == ModeId(m) && !point.usable(); });
        if (unsolved) digest.silent.emplace_back(m);
    }
    return digest;
}

}  // namespace loomward
