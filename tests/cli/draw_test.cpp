// `loomward draw`: what is written, where, and what is left behind when it cannot be.
#include <catch2/catch.hpp>
#include <filesystem>

#include "tests/cli/harnesses.hpp"
#include "tests/cli/program.hpp"

namespace draw_test {

using Catch::Contains;
using Catch::StartsWith;
using program::Ending;
using program::Folder;
using program::run;
using program::Streams;
namespace fs = std::filesystem;

namespace {

struct Barrows : Folder {
    Barrows() {
        write("good.loom", harnesses::barrow);
        write("weak.loom", harnesses::weak_barrow);
        write("misspelt.loom", harnesses::misspelt_barrow);
    }
};

}  // namespace

TEST_CASE("the ending of the output decides what is written") {
    const Barrows folder;
    const std::pair<const char*, std::string> kinds[] = {
        {"sheet.svg", "<svg"}, {"sheet.png", "\x89PNG\r\n\x1a\n"}, {"sheet.pdf", "%PDF-"}};
    for (const auto& [name, mark] : kinds) {
        const Ending ending = run(folder, {"draw", "good.loom", "-o", name});
        CHECK(ending.code == 0);
        CHECK_THAT(ending.out, StartsWith("good.loom: no errors, ") && Contains("not a licence"));
        CHECK(ending.trouble.empty());
        CHECK_THAT(folder.read(name).substr(0, 1000), Contains(mark));
    }
    CHECK(folder.names() == std::vector<std::string>{"good.loom", "misspelt.loom", "sheet.pdf", "sheet.png",
                                                     "sheet.svg", "weak.loom"});
}

TEST_CASE("a dash as output writes the same SVG to standard output, and nothing else") {
    const Barrows folder;
    run(folder, {"draw", "good.loom", "-o", "sheet.svg"});
    const Ending ending = run(folder, {"draw", "good.loom", "-o", "-"});
    CHECK(ending.code == 0);
    CHECK(ending.out == folder.read("sheet.svg"));
}

TEST_CASE("a harness with errors is drawn, and the code says that there are errors") {
    const Barrows folder;
    const Ending ending = run(folder, {"draw", "weak.loom", "-o", "sheet.svg"});
    CHECK(ending.code == 1);
    CHECK_THAT(folder.read("sheet.svg"), Contains("<svg"));
}

TEST_CASE("a text with mistakes is not drawn and leaves an older sheet alone") {
    const Barrows folder;
    folder.write("sheet.svg", "older");
    const Ending ending = run(folder, {"draw", "misspelt.loom", "-o", "sheet.svg"});
    CHECK(ending.code == 2);
    CHECK(ending.out.empty());
    CHECK_THAT(ending.trouble, Contains("misspelt.loom:6:20: error: 'Watt' is not a unit [unknown-unit]\n"));
    CHECK(folder.read("sheet.svg") == "older");
}

TEST_CASE("paper, theme and resolution change the sheet") {
    const Barrows folder;
    const std::string usual = run(folder, {"draw", "good.loom", "-o", "-"}).out;
    CHECK(run(folder, {"draw", "good.loom", "-o", "-", "--theme", "dark"}).out != usual);
    CHECK(run(folder, {"draw", "good.loom", "-o", "-", "--paper", "a3"}).out != usual);
    // Four wires go on A4 whole.
    CHECK(run(folder, {"draw", "good.loom", "-o", "-", "--paper", "a4", "--theme", "light"}).out == usual);
    run(folder, {"draw", "good.loom", "-o", "coarse.png", "--dpi", "50"});
    run(folder, {"draw", "good.loom", "-o", "fine.png", "--dpi", "200"});
    CHECK(folder.read("fine.png").size() > folder.read("coarse.png").size());
}

TEST_CASE(
    "the SVG is the same, byte for byte, with no font or another font installed; a PNG shows the font") {
    const Barrows folder;
    fs::create_directory(folder.path() / "none");
    const std::string head =
        "<?xml version=\"1.0\"?><!DOCTYPE fontconfig SYSTEM \"urn:fontconfig:fonts.dtd\">"
        "<fontconfig><cachedir>" +
        (folder.path() / "cache").string() + "</cachedir>";
    folder.write("no-font.conf", head + "<dir>" + (folder.path() / "none").string() + "</dir></fontconfig>");
    // What is installed, but every family asked for is given as another one.
    folder.write("other-font.conf",
                 head +
                     "<dir>/usr/share/fonts</dir><match target=\"pattern\"><edit name=\"family\" "
                     "mode=\"assign\" binding=\"strong\"><string>DejaVu Sans Mono</string></edit></match>"
                     "</fontconfig>");
    const std::string example = std::string(LOOMWARD_SOURCE_DIR) + "/examples/bench-rig-12v.loom";
    const auto drawn = [&](const std::string& sheet, const std::string& fonts) {
        Streams streams;
        if (!fonts.empty()) streams.environment["FONTCONFIG_FILE"] = (folder.path() / fonts).string();
        CHECK(run(folder, {"draw", example, "-o", sheet}, streams).code == 0);
        return folder.read(sheet);
    };
    const std::string svg = drawn("usual.svg", "");
    REQUIRE(svg.size() > 10000);
    CHECK(drawn("none.svg", "no-font.conf") == svg);
    CHECK(drawn("other.svg", "other-font.conf") == svg);
    // That these settings reach the program at all: a PNG is lettered with what is installed.
    const std::string png = drawn("usual.png", "");
    CHECK(drawn("none.png", "no-font.conf") != png);
    CHECK(drawn("other.png", "other-font.conf") != png);
}

TEST_CASE(
    "only a PNG or PDF needs the drawing library: without it they say so, and everything else goes on") {
    const Barrows folder;
    folder.write("librsvg-2.so.2", "not a library");
    Streams streams;
    streams.environment["LD_LIBRARY_PATH"] = folder.path().string();
    CHECK(run(folder, {"check", "good.loom"}, streams).code == 0);
    CHECK(run(folder, {"draw", "good.loom", "-o", "sheet.svg"}, streams).code == 0);
    for (const char* sheet : {"sheet.png", "sheet.pdf"}) {
        const Ending ending = run(folder, {"draw", "good.loom", "-o", sheet}, streams);
        CHECK(ending.code == 2);
        CHECK(ending.out.empty());
        CHECK_THAT(ending.trouble, Contains("need librsvg, which cannot be loaded: "));
        CHECK_FALSE(fs::exists(folder.path() / sheet));
    }
}

TEST_CASE("a sheet of several pages is written as numbered files, or as one PDF") {
    const Barrows folder;
    std::string row = R"(loom 1
harness "Row" { ambient 5..35 degC, insulation pvc 90 degC }
pack B1 { voltage 20..28 V, resistance 30 mohm, capacity 20 Ah, discharge 40 A, charge 10 A }
fuse F1 { 10 A, 32 V dc, breaks 1 kA at 32 V dc, curve iso8820-3 }
stud X0
stud Y0
route B1.+ (V1 4 mm2, 0.1 m, red) F1 (V2 4 mm2, 0.1 m, red) X0
route B1.- (V3 4 mm2, 0.1 m, black) Y0
mode dark { others at rest }
)";
    for (int i = 1; i <= 40; ++i) {
        const std::string n = std::to_string(i), before = std::to_string(i - 1);
        row += "stud X" + n + "\nstud Y" + n + "\nload H" + n + " { 24 V, 1 W }\nroute X" + before + " (WA" +
               n + " 4 mm2, 1 m, red) X" + n + " (WC" + n + " 1 mm2, 1 m, red) H" + n + " (WD" + n +
               " 1 mm2, 1 m, black) Y" + n + " (WB" + n + " 4 mm2, 1 m, black) Y" + before + "\n";
    }
    folder.write("row.loom", row);
    const Ending ending = run(folder, {"draw", "row.loom", "-o", "row.svg", "--paper", "a4"});
    CHECK(ending.trouble.empty());
    CHECK_THAT(ending.out, Contains("\ndrawn on ") && Contains(" sheets: row-1.svg to row-"));
    CHECK_THAT(folder.read("row-1.svg"), Contains("href=\"row-2.svg#part-"));
    CHECK_THAT(folder.read("row-2.svg"), Contains("href=\"row-1.svg#part-"));
    CHECK_FALSE(fs::exists(folder.path() / "row.svg"));
    run(folder, {"draw", "row.loom", "-o", "row.pdf", "--paper", "a4"});
    CHECK(fs::exists(folder.path() / "row.pdf"));
    CHECK_FALSE(fs::exists(folder.path() / "row-1.pdf"));
}

TEST_CASE("a sheet that cannot be written ends with 2, says why and leaves nothing behind") {
    const Barrows folder;
    fs::create_directory(folder.path() / "folder.svg");
    fs::create_symlink("/dev/full", folder.path() / "full.svg");
    const std::pair<const char*, const char*> rows[] = {
        {"nowhere/sheet.svg", "loomward: cannot write 'nowhere/sheet.svg': No such file or directory\n"},
        {"good.loom/sheet.svg", "loomward: cannot write 'good.loom/sheet.svg': Not a directory\n"},
        {"folder.svg", "loomward: cannot write 'folder.svg': it is a folder\n"},
        {"full.svg", "loomward: cannot write 'full.svg': No space left on device\n"},
    };
    const std::vector<std::string> before = folder.names();
    for (const auto& [output, trouble] : rows) {
        const Ending ending = run(folder, {"draw", "good.loom", "-o", output});
        CHECK(ending.code == 2);
        CHECK(ending.out.empty());
        CHECK(ending.trouble == trouble);
        CHECK(folder.names() == before);
    }
    CHECK(fs::is_symlink(folder.path() / "full.svg"));
    CHECK(fs::is_character_file("/dev/full"));
}

TEST_CASE("an older sheet keeps its permissions, and a link to it stays a link") {
    const Barrows folder;
    folder.write("real.svg", "older");
    fs::permissions(folder.path() / "real.svg", fs::perms(0640));
    fs::create_symlink("real.svg", folder.path() / "link.svg");
    CHECK(run(folder, {"draw", "good.loom", "-o", "link.svg"}).code == 0);
    CHECK(fs::is_symlink(folder.path() / "link.svg"));
    CHECK_THAT(folder.read("real.svg"), Contains("<svg"));
    CHECK(fs::status(folder.path() / "real.svg").permissions() == fs::perms(0640));
}

}  // namespace draw_test
