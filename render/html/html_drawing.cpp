#include "render/html/html_drawing.hpp"

namespace loomward {

Html drawing_html(const std::string& svg, const std::string& prefix) {
    std::string out;
    out.reserve(svg.size() + 4096);
    for (std::size_t at = 0; at < svg.size();) {
        // Only inside a tag do these stand unescaped in quotes: text has its quotes escaped.
        constexpr std::string_view id = " id=\"", own = " href=\"#", labelled = " aria-labelledby=\"",
                                   other = " href=\"s", picture = " role=\"img\"";
        const std::string_view rest = std::string_view(svg).substr(at);
        if (rest.starts_with(picture)) {
            // With links in it it is no picture but a group.
            out += " role=\"group\"";
            at += picture.size();
        } else if (rest.starts_with(id) || rest.starts_with(own)) {
            const std::string_view begin = rest.starts_with(id) ? id : own;
            out.append(begin).append(prefix);
            at += begin.size();
        } else if (rest.starts_with(labelled)) {
            out.append(labelled).append(prefix + "sheet-title " + prefix + "sheet-desc");
            at = svg.find('"', at + labelled.size());
        } else if (rest.starts_with(other) && svg.find('#', at) < svg.find('"', at + other.size())) {
            const std::size_t hash = svg.find('#', at), begins = at + other.size() - 1;
            out += " href=\"#" + svg.substr(begins, hash - begins) + "-";
            at = hash + 1;
        } else {
            out += svg[at++];
        }
    }
    return Html::trusted(std::move(out));
}

}  // namespace loomward
