#include "render/html/html_page.hpp"

#include "render/text/checksum.hpp"

namespace loomward {
namespace {

constexpr const char* narrow_style = "main,body>header,body>footer{max-width:210mm}\n";

// Of a string between quotes in a style sheet.
std::string style_string(std::string_view text) {
    std::string out = "\"";
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        if (byte < 0x20 || c == '"' || c == '\\' || c == '<') {
            constexpr std::string_view digits = "0123456789abcdef";
            out += '\\';
            out += digits[byte >> 4];
            out += digits[byte & 15];
            out += ' ';
        } else {
            out += c;
        }
    }
    return out + '"';
}

std::string footer_style(const std::string& footer) {
    if (footer.empty()) return {};
    const std::string type = ";font:8pt sans-serif;color:#444";
    return "@media print{@page{@bottom-left{content:" + style_string(footer) + type +
           "}@bottom-right{content:\"page \" counter(page) \" of \" counter(pages)" + type + "}}}\n";
}

std::string base64(std::string_view hex) {
    constexpr std::string_view letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    const auto digit = [](char c) { return static_cast<unsigned>(c <= '9' ? c - '0' : c - 'a' + 10); };
    std::string out;
    unsigned held = 0, bits = 0;
    for (const char c : hex) {
        held = held << 4 | digit(c);
        bits += 4;
        if (bits < 6) continue;
        bits -= 6;
        out += letters[held >> bits & 63];
        held &= (1U << bits) - 1;
    }
    if (bits > 0) out += letters[held << (6 - bits) & 63];
    while (out.size() % 4 != 0) out += '=';
    return out;
}

std::string policy(const std::string& script) {
    const std::string scripts = script.empty() ? "'none'" : "'sha256-" + base64(sha256_text(script)) + "'";
    return "default-src 'none'; style-src 'unsafe-inline'; script-src " + scripts +
           "; base-uri 'none'; form-action 'none'";
}

Html strip(const HtmlPage& page) {
    Html items;
    for (const HtmlSection& section : page.sections)
        if (!section.short_title.empty())
            items += tag("li", tag("a", {{"href", "#" + section.id}}, section.short_title));
    if (items.empty()) return {};
    return tag("nav", {{"class", "strip"}, {"aria-label", "sections"}}, tag("ol", items));
}

Html main_of(const HtmlPage& page) {
    Html sections;
    for (const HtmlSection& section : page.sections) {
        const std::string title = section.id + "-title";
        sections += tag("section", {{"id", section.id}, {"aria-labelledby", title}},
                        tag("h2", {{"id", title}}, section.title) + section.body);
    }
    return tag("main", {{"id", "main"}}, sections);
}

// A `<` in JSON stands in strings only; as \u003c it cannot end the element.
std::string data_json(const std::string& data) {
    std::string out;
    for (const char c : data) {
        if (c == '<')
            out += "\\u003c";
        else
            out += c;
    }
    return out;
}

}  // namespace

std::string html_document(const HtmlPage& page) {
    std::string style = page_style() + (page.narrow ? narrow_style : "") + page.style;
    for (const HtmlSection& section : page.sections) style += section.style;
    Html head = empty_tag("meta", {{"charset", "utf-8"}});
    head += empty_tag("meta", {{"name", "viewport"}, {"content", "width=device-width, initial-scale=1"}});
    head += empty_tag("meta", {{"http-equiv", "Content-Security-Policy"}, {"content", policy(page.script)}});
    head += empty_tag("meta", {{"name", "color-scheme"}, {"content", "light dark"}});
    head += tag("title", page.title);
    head += Html::trusted("\n<style>" + style + footer_style(page.footer) + "</style>\n");
    Html top = tag("h1", page.title);
    for (const Html& line : page.meta) top += tag("p", {{"class", "meta"}}, line);
    top += page.top;
    Html body = tag("a", {{"class", "skip"}, {"href", "#main"}}, "to what to do first");
    body += tag("header", top) + strip(page) + main_of(page) + page.end;
    if (!page.data.empty())
        body += Html::trusted("<script type=\"application/json\" id=\"data\">" + data_json(page.data) +
                              "</script>\n");
    if (!page.script.empty()) body += Html::trusted("<script>" + page.script + "</script>\n");
    return "<!doctype html>\n<html lang=\"en\"><head>" + head.markup() + "</head>\n<body>" + body.markup() +
           "</body></html>\n";
}

}  // namespace loomward
