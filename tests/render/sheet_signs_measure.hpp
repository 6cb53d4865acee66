// Compares what stands on each page with the words of its legend, both read from what was drawn: a sign that
// nothing explains, and an explanation of what is not there.
#pragma once
#include <set>
#include <string>
#include <vector>

#include "render/sheet/draw/sheet_draw.hpp"
#include "render/sheet/layout/sheet_route.hpp"

namespace loomward::sheet {

// Words of the legend, without those that a page may or may not need by what this measure does not see.
inline const std::set<std::string>& legend_words() {
    static const std::set<std::string> words = {"BK",
                                                "BN",
                                                "RD",
                                                "OG",
                                                "YE",
                                                "GN",
                                                "BU",
                                                "VT",
                                                "GY",
                                                "WH",
                                                "PK",
                                                "TQ",
                                                "colour not stated",
                                                "no guard",
                                                "short lead, no guard",
                                                "cable",
                                                "bundle",
                                                "55 % of its limit",
                                                "over its limit",
                                                "current leftwards",
                                                "joint, no wire",
                                                "goes on: sheet/square",
                                                "end of a wire"};
    return words;
}

// The words that a page needs, by its lines and parts.
inline std::set<std::string> words_needed(const SheetPlan& plan, int page) {
    std::set<std::string> words;
    for (const PlacedStrip& strip : plan.strips) {
        if (strip.page != page) continue;
        const Layout& layout = strip.layout;
        for (const Node& node : layout.nodes) {
            if (!node.links.empty()) words.insert("joint, no wire");
            if (node.type == NodeType::element && layout.element(node).form == Form::pennant)
                words.insert("goes on: sheet/square");
        }
        for (const Run& run : layout.runs) {
            const Line& line = layout.line(run.line);
            if (!line.is_labelled()) {
                words.insert("joint, no wire");
                continue;
            }
            words.insert("end of a wire");
            for (const Colour colour : {line.colour, line.second_colour})
                if (colour != Colour::none) words.insert(std::string(colour_letters(colour)));
            if (line.colour == Colour::none) words.insert("colour not stated");
            if (line.unguarded) words.insert(line.short_lead ? "short lead, no guard" : "no guard");
            if (!line.ring.empty()) words.insert(line.is_cable ? "cable" : "bundle");
            if (line.loading >= 0)
                words.insert(line.loading > 1.0005 ? "over its limit" : "55 % of its limit");
            if (layout.arrow_leftward(run)) words.insert("current leftwards");
        }
    }
    return words;
}

// Signs without their word, and words without their sign, over all pages.
inline std::vector<std::string> unexplained_signs(const SheetPlan& plan, const std::vector<Canvas>& pages) {
    std::vector<std::string> wrong;
    for (std::size_t page = 0; page < pages.size(); ++page) {
        std::set<std::string> written;
        for (const Mark& mark : pages[page].texts())
            if (mark.place < 0 && legend_words().contains(mark.text)) written.insert(mark.text);
        const std::set<std::string> needed = words_needed(plan, static_cast<int>(page));
        const std::string where = " on page " + std::to_string(page + 1);
        for (const std::string& word : needed)
            if (!written.contains(word)) wrong.push_back("unexplained: " + word + where);
        for (const std::string& word : written)
            if (!needed.contains(word)) wrong.push_back("explained, not there: " + word + where);
    }
    return wrong;
}

}  // namespace loomward::sheet
