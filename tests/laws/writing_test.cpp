// Law: writing does not matter. Order of statements, names, units, a wire walked the other way or cut in two
// by a splice, names printed on parts, an assembly against its flat copy: the same findings.
#include <catch2/catch.hpp>

#include <regex>

#include "tests/laws/laws.hpp"
#include "tests/laws/rewritten.hpp"

namespace writing_test {

using namespace laws;

namespace {

// A contact or terminal stands for its part: "J1.+" is told of J1, since prints rename terminals.
std::string of_part(const std::string& subject) {
    static const std::regex terminal(R"((.*[A-Z]+\d+)\.[^.]*)");
    std::smatch match;
    return std::regex_match(subject, match, terminal) ? match[1].str() : subject;
}

Verdict told(const Results& results, const Renaming& old_name) {
    Verdict found;
    for (const auto& [key, severity] : verdict(results)) {
        const auto [place, fresh] = found.try_emplace({key.first, of_part(old_name(key.second))}, severity);
        if (!fresh) place->second = std::min(place->second, severity);
    }
    return found;
}

void compare(const std::string& name, const std::string& text, const Rewritten& other, Tally& tally) {
    const std::optional<Results> before = checked(name, other.instead_of.empty() ? text : other.instead_of),
                                 after = checked(name, other.text);
    REQUIRE(before);
    if (!after) {
        const loomward::ReadResult refused = read(name, other.text);
        FAIL(other.how << ": " << refused.mistakes.front().message << "\n" << other.text);
    }
    tally.tried();
    const Renaming same = [](const std::string& subject) { return subject; };
    const Verdict a = told(*before, same), b = told(*after, other.old_name);
    const std::vector<Verdict::value_type> gone_away = lost(a, b), come_only_then = lost(b, a);
    if (!gone_away.empty() || !come_only_then.empty()) {
        keep(name, text);
        keep(name + ", " + other.how, other.text);
    }
    for (const Verdict::value_type& gone : gone_away)
        tally.exception(name + ", " + other.how + ": no more " + shown(gone));
    for (const Verdict::value_type& come : come_only_then)
        tally.exception(name + ", " + other.how + ": only then " + shown(come));
}

void try_writings(std::size_t orders, std::size_t harnesses, Tally& tally) {
    Dice dice(11);
    for (const std::string& name : example_names()) {
        const std::string text = example_text(name);
        for (std::size_t i = 0; i < orders; ++i)
            compare(name, text, {"in another order", in_another_order(text, dice)}, tally);
    }
    for (std::size_t i = 0; i < harnesses; ++i) {
        const RandomHarness harness = random_harness(i);
        for (const Rewritten& other : rewritings(harness, dice))
            compare("random " + std::to_string(i), harness.text(), other, tally);
    }
}

}  // namespace

TEST_CASE("how a harness is written does not matter") {
    Tally tally("writing does not matter");
    try_writings(cases(0) ? 5 : 2, cases(60), tally);
    INFO(tally.all());
    CHECK(tally.count() > 100);
    CHECK(tally.exceptions().size() <= tally.known());
}

TEST_CASE("a checker that forgets what is told of the wire written first breaks the law of writing") {
    const PlantedFault fault([](Results& results) {
        if (results.harness->wires.empty()) return;
        const std::string first(results.harness->wires.front().name);
        std::erase_if(results.findings, [&](const Finding& finding) { return finding.subject == first; });
    });
    Tally tally("writing does not matter, with a planted fault");
    try_writings(1, 4, tally);
    CHECK_FALSE(tally.exceptions().empty());
}

}  // namespace writing_test
