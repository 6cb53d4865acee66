#include "checker/failures/failure_words.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cstdlib>

namespace loomward {

using namespace literals;

namespace {

// "W12" as "W" and 12; number -1: it has none.
struct SplitName {
    std::string stem;
    long number = -1;
    std::string whole;
    bool operator<(const SplitName& other) const {
        return std::tie(stem, number, whole) < std::tie(other.stem, other.number, other.whole);
    }
};

SplitName split(const std::string& name) {
    std::size_t end = name.size();
    while (end > 0 && std::isdigit(static_cast<unsigned char>(name[end - 1]))) --end;
    if (end == name.size() || name.size() - end > 9) return {name, -1, name};
    return {name.substr(0, end), std::strtol(name.c_str() + end, nullptr, 10), name};
}

}  // namespace

std::string names_in_short(std::vector<std::string> names) {
    std::vector<SplitName> all;
    for (const std::string& name : names) all.push_back(split(name));
    std::sort(all.begin(), all.end());
    std::string text;
    for (std::size_t i = 0; i < all.size();) {
        std::size_t last = i;
        while (last + 1 < all.size() && all[last + 1].stem == all[last].stem && all[last].number >= 0 &&
               all[last + 1].number == all[last].number + 1)
            ++last;
        text += (text.empty() ? "" : " ") + all[i].whole;
        if (last == i + 1) text += " " + all[last].whole;
        if (last > i + 1) text += ".." + all[last].whole;
        i = last + 1;
    }
    return text;
}

std::string names_that(const std::vector<std::string>& names, std::string_view one, std::string_view many) {
    return names_in_short(names) + " " + std::string(names.size() == 1 ? one : many);
}

std::string mode_names(const Harness& harness, const std::vector<ModeId>& modes) {
    std::string text;
    for (const ModeId mode : modes)
        text += (text.empty() ? "" : ", ") + std::string(harness.modes[mode.index()].name);
    return text;
}

std::string_view drive_word(DriveState state) {
    static constexpr std::array<std::string_view, 6> words = {"dead", "bled",  "charged by a resistor",
                                                              "live", "ready", "running"};
    return words[static_cast<std::size_t>(state)];
}

std::string effect_text(const Circuit& circuit, const Follower& follower, const FollowedState& before,
                        const FollowedState& after) {
    const Harness& harness = *circuit.harness;
    std::string text;
    const auto add = [&](const std::string& more) { text += (text.empty() ? "" : ", ") + more; };
    for (std::size_t i = 0; i < before.drives.size(); ++i)
        if (before.drives[i] != after.drives[i])
            add(std::string(harness.part(follower.drives()[i].part).name) + " " +
                std::string(drive_word(after.drives[i])) + " instead of " +
                std::string(drive_word(before.drives[i])));
    for (const FedState how : {FedState::off, FedState::fed, FedState::above}) {
        std::vector<std::string> names;
        for (std::size_t i = 0; i < before.loads.size(); ++i)
            if (before.loads[i] != after.loads[i] && after.loads[i] == how)
                names.emplace_back(harness.part(circuit.edge(follower.loads()[i]).part).name);
        if (names.empty()) continue;
        add(names_in_short(names) + (how == FedState::off   ? " off"
                                     : how == FedState::fed ? " on"
                                                            : " above its voltage"));
    }
    for (const bool pulls : {true, false}) {
        std::vector<std::string> names;
        for (std::size_t i = 0; i < before.pulled.size(); ++i)
            if (before.pulled[i] != after.pulled[i] && (after.pulled[i] != 0) == pulls)
                names.emplace_back(harness.part(follower.coils()[i]).name);
        if (!names.empty()) add(names_in_short(names) + (pulls ? " pulls in" : " lets go"));
    }
    std::vector<std::string> shorted;
    for (const PartId each : after.shorted)
        if (std::find(before.shorted.begin(), before.shorted.end(), each) == before.shorted.end())
            shorted.emplace_back(harness.part(each).name);
    if (!shorted.empty()) add(names_that(shorted, "is shorted", "are shorted"));
    if (!after.settles) add("it chatters");
    return text;
}

}  // namespace loomward
