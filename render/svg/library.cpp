#include "render/svg/library.hpp"

#include "render/svg/convert.hpp"

#include <dlfcn.h>

#include <stdexcept>
#include <string>
#include <type_traits>

namespace loomward {
namespace {

// Cairo and GLib are found through librsvg, which is linked to both.
constexpr const char* file_name = "librsvg-2.so.2";

SvgLibrary loaded() {
    // Never closed: GLib cannot be unloaded.
    void* handle = ::dlopen(file_name, RTLD_LAZY | RTLD_LOCAL);
    if (!handle)
        throw LibraryMissing(std::string("PNG and PDF need librsvg, which cannot be loaded: ") + ::dlerror());
    const auto find = [handle](auto& function, const char* name) {
        void* address = ::dlsym(handle, name);
        if (!address) throw std::runtime_error(std::string(file_name) + " does not offer " + name);
        function = reinterpret_cast<std::remove_reference_t<decltype(function)>>(address);
    };
    SvgLibrary of{};
    find(of.g_error_free, "g_error_free");
    find(of.g_object_unref, "g_object_unref");
    find(of.rsvg_handle_new_from_data, "rsvg_handle_new_from_data");
    find(of.rsvg_handle_set_dpi, "rsvg_handle_set_dpi");
    find(of.rsvg_handle_get_intrinsic_size_in_pixels, "rsvg_handle_get_intrinsic_size_in_pixels");
    find(of.rsvg_handle_render_document, "rsvg_handle_render_document");
    find(of.cairo_create, "cairo_create");
    find(of.cairo_destroy, "cairo_destroy");
    find(of.cairo_status, "cairo_status");
    find(of.cairo_tag_begin, "cairo_tag_begin");
    find(of.cairo_tag_end, "cairo_tag_end");
    find(of.cairo_image_surface_create, "cairo_image_surface_create");
    find(of.cairo_surface_destroy, "cairo_surface_destroy");
    find(of.cairo_surface_finish, "cairo_surface_finish");
    find(of.cairo_surface_show_page, "cairo_surface_show_page");
    find(of.cairo_surface_status, "cairo_surface_status");
    find(of.cairo_surface_write_to_png_stream, "cairo_surface_write_to_png_stream");
    find(of.cairo_pdf_surface_add_outline, "cairo_pdf_surface_add_outline");
    find(of.cairo_pdf_surface_create_for_stream, "cairo_pdf_surface_create_for_stream");
    find(of.cairo_pdf_surface_set_metadata, "cairo_pdf_surface_set_metadata");
    find(of.cairo_pdf_surface_set_page_label, "cairo_pdf_surface_set_page_label");
    find(of.cairo_pdf_surface_set_size, "cairo_pdf_surface_set_size");
    return of;
}

}  // namespace

const SvgLibrary& library() {
    static const SvgLibrary once = loaded();
    return once;
}

}  // namespace loomward
