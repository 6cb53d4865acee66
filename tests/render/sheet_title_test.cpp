// The title block: every field that is given stands there whole, none that is not, and nothing on anything
// else.
#include <catch2/catch.hpp>

#include "render/sheet/pages/sheet_legend.hpp"
#include "render/sheet/pages/sheet_title.hpp"
#include "render/svg/font.hpp"
#include "tests/render/harness_files.hpp"
#include "tests/render/sheet_measure.hpp"

namespace sheet_title_test {

using namespace loomward;
using namespace loomward::sheet;

namespace {

SheetPlan plan_of(const std::string& head, const SheetOptions& options) {
    const std::string text =
        "loom 1\nharness " + head +
        "\npack B1 { cells 13s8p, cell-voltage 3.0..4.2 V, cell-resistance 28 mohm, cell-capacity 3.4 Ah"
        ", discharge 60 A, charge 15 A }\n"
        "fuse F1 { 60 A, 80 V dc, breaks 4 kA at 80 V dc, curve iso8820-5 }\nload E1 { 60 W }\n"
        "route B1.+ (W1 4 mm2, 0.12 m, red) F1 (W2 4 mm2, 1 m, red) E1.+\n"
        "route E1.- (W3 4 mm2, 1 m, black) B1.-\nmode on { E1 on }\n";
    return compose(make_model(files::results_of_text(text), options), options);
}

// What stands in the block of a page, in the order it was written; rows of one field joined by blanks.
std::string block_text(const SheetPlan& plan, const Canvas& page) {
    std::string text;
    for (const Mark& mark : page.texts())
        if (mark.place < 0 && mark.box.left > plan.frame.right - title_width &&
            mark.box.top > plan.field.bottom + 4)
            text += mark.text + ' ';
    return text;
}

}  // namespace

TEST_CASE("texts of sixty characters and of any script stand whole in the title block, on every paper") {
    const std::vector<std::string> texts = {
        "Schneeräumer-Raupe Gämsjäger für steile Wege und lange Nächte, Bauart 2",
        "мотор, контроллер и зарядное устройство на одной раме, вторая партия",
        "DOC-0417-IDENTIFICATION-WITHOUT-ANY-BLANK-0000000000000000000000001",
        "C, третья редакция, с поправками по замечаниям мастерской и склада",
        "am dreißigsten April zweitausendsechsundzwanzig, vorabends um sechs",
        "Αλεξάνδρα Παπαδοπούλου-Κωνσταντινίδη του Γεωργίου, σχεδιάστρια",
        "山田太郎山田太郎山田太郎山田太郎山田太郎山田太郎山田太郎山田太郎山田太郎山田太郎山田太郎山田太郎山田"
        "太郎山田太郎山田太郎",
        "W. W. Wollwanderer-Morgenwind, Werkstatt Wimmer am Wasserweg West",
        "Gesellschaft für Bergwege und Almwirtschaft am Hohen Joch eG, Sitz"};
    const std::string head = "\"" + texts[0] + "\" { subtitle \"" + texts[1] + "\", document \"" + texts[2] +
                             "\", revision \"" + texts[3] + "\", date \"" + texts[4] + "\", drawn-by \"" +
                             texts[5] + "\", checked-by \"" + texts[6] + "\", approved-by \"" + texts[7] +
                             "\", legal-owner \"" + texts[8] + "\", ambient -20..35 degC }";
    const Paper paper = GENERATE(Paper::a4, Paper::a3, Paper::letter, Paper::tabloid);
    const SheetOptions options{paper, Theme::light};
    const SheetPlan plan = plan_of(head, options);
    const std::vector<Canvas> pages = draw_pages(plan, options);
    for (const std::string& each : figures(plan, options).found.text_text) CHECK(each.empty());
    std::string block = block_text(plan, pages.front());
    const auto without_blanks = [](std::string text) {
        std::erase(text, ' ');
        return text;
    };
    block = without_blanks(block);
    for (const std::string& text : texts) {
        INFO(text);
        CHECK(block.find(without_blanks(text)) != std::string::npos);
    }
    CHECK(block.find("harness.loom") != std::string::npos);
    for (const Mark& mark : pages.front().texts()) {
        if (mark.place >= 0 || mark.box.left < plan.frame.right - title_width) continue;
        if (mark.box.left > plan.frame.right || mark.box.top < plan.field.bottom) continue;  // the grid
        INFO(mark.text);
        CHECK(mark.box.right <= plan.frame.right);
        CHECK((mark.box.top > plan.frame.bottom || mark.box.bottom <= plan.frame.bottom));
    }
}

TEST_CASE("a field that is not given has no place in the title block") {
    const SheetOptions options;
    const SheetPlan plan = plan_of("\"Sledge\" { ambient 0..30 degC }", options);
    const std::string block = block_text(plan, draw_pages(plan, options).front());
    for (const char* name :
         {"document", "revision", "date", "drawn by", "checked by", "approved by", "legal owner", "–"})
        CHECK(block.find(name) == std::string::npos);
    for (const char* name : {"sheet 1 of 1", "paper A3,", "file harness.loom", "wires 3"})
        CHECK(block.find(name) != std::string::npos);
}

TEST_CASE("where somebody has drawn it, whoever checks it has a line to sign on") {
    const SheetOptions options;
    const auto checked = [&](const std::string& head) {
        const TitleBlock block =
            title_block(plan_of("\"Sledge\" { ambient 0..30 degC, " + head + " }", options), 0);
        std::vector<bool> to_sign;
        for (const TitleBand& band : block.bands)
            for (const TitleCell& cell : band.cells)
                if (cell.name == "checked by") to_sign.push_back(cell.to_sign);
        return to_sign;
    };
    CHECK(checked("drawn-by \"A. Quill\"") == std::vector<bool>{true});
    CHECK(checked("drawn-by \"A. Quill\", checked-by \"B. Reed\"") == std::vector<bool>{false});
    CHECK(checked("date \"2026-04-30\"").empty());
}

TEST_CASE("rows hold the whole text and are no wider than they may be") {
    const std::string text =
        "Wanderweg-Gesellschaft 山田太郎山田太郎 mit einem sehrlangenwortohneleerzeichen darin";
    for (const bool bold : {false, true}) {
        std::string joined;
        for (const std::string& row : in_rows(text, 2.4, bold, 20)) {
            CHECK(text_width(row, 2.4, bold) <= 20);
            joined += row;
        }
        std::string whole = text;
        std::erase(whole, ' ');
        std::erase(joined, ' ');
        CHECK(joined == whole);
    }
    CHECK(in_rows("", 2, false, 10).empty());
    CHECK(in_rows("a b", 2, false, 100) == std::vector<std::string>{"a b"});
}

TEST_CASE("papers without a drawing name the given fields in one line") {
    const Results results =
        files::results_of_file(std::string(LOOMWARD_SOURCE_DIR) + "/examples/vineyard-carrier.loom");
    CHECK(title_line(title_fields(*results.harness)) ==
          "document H-0417 · revision A · drawn by A. Quill · approved by C. Sedge · legal owner Tarn Lane "
          "Works");
    CHECK(title_line({}).empty());
    CHECK(paper_file_name("a/b.loom") == "b.loom");
    CHECK(paper_file_name("-") == "standard input");
}

}  // namespace sheet_title_test
