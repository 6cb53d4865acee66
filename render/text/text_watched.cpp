// The page of what is watched: hazards against kinds of part, as Markdown.
#include <fmt/format.h>

#include "checker/rules/watched.hpp"
#include "render/text/text.hpp"

namespace loomward {
namespace {

std::string field(Hazard hazard, Kind kind) {
    if (!can_arise(hazard, kind)) return "";
    return watching(hazard, kind).empty() ? "not looked at" : "watched";
}

std::string overview() {
    std::string text = "| kind |", line = "| --- |";
    for (std::size_t i = 0; i < hazard_count; ++i) {
        text += fmt::format(" {} |", info(static_cast<Hazard>(i)).name);
        line += " --- |";
    }
    text += "\n" + line + "\n";
    for (const Kind kind : watched_kinds()) {
        text += fmt::format("| {} |", info(kind).word);
        for (std::size_t i = 0; i < hazard_count; ++i)
            text += fmt::format(" {} |", field(static_cast<Hazard>(i), kind));
        text += "\n";
    }
    return text;
}

std::string section(Hazard hazard) {
    std::string text = fmt::format("\n## {}\n\n{}\n\n| kind | rules |\n| --- | --- |\n", info(hazard).name,
                                   info(hazard).means);
    for (const Kind kind : watched_kinds()) {
        if (!can_arise(hazard, kind)) continue;
        std::string names;
        for (const std::string_view rule : watching(hazard, kind))
            names += fmt::format("{}`{}`", names.empty() ? "" : ", ", rule);
        text += fmt::format("| {} | {} |\n", info(kind).word, names.empty() ? "not looked at" : names);
    }
    return text;
}

}  // namespace

std::string watched_page() {
    std::string text =
        "# What is watched\n\nHazards against kinds of part, and the rules that watch them. This page is "
        "made by "
        "the program: `loomward explain --watched`. An empty field: the hazard does not arise there. *Not "
        "looked "
        "at*: it may arise, and no rule of this version tells of it; a report says so on its lines that "
        "begin "
        "with `not checked:`. *Watched* does not mean that everything is seen: what a rule leaves out stands "
        "in its "
        "limits (`loomward explain RULE`).\n\n" +
        overview();
    for (std::size_t i = 0; i < hazard_count; ++i) text += section(static_cast<Hazard>(i));
    return text;
}

}  // namespace loomward
