// librsvg and cairo, loaded when a picture or a document is first asked for: the forty libraries they bring
// along would cost every check more time than the check itself.
#pragma once
#include <cairo-pdf.h>
#include <cairo.h>
#include <librsvg/rsvg.h>

namespace loomward {

// Their functions under their own names. `library()` loads them once, and throws std::runtime_error with the
// reason if they are not there.
struct SvgLibrary {
    decltype(&::g_error_free) g_error_free;
    decltype(&::g_object_unref) g_object_unref;
    decltype(&::rsvg_handle_new_from_data) rsvg_handle_new_from_data;
    decltype(&::rsvg_handle_set_dpi) rsvg_handle_set_dpi;
    decltype(&::rsvg_handle_get_intrinsic_size_in_pixels) rsvg_handle_get_intrinsic_size_in_pixels;
    decltype(&::rsvg_handle_render_document) rsvg_handle_render_document;
    decltype(&::cairo_create) cairo_create;
    decltype(&::cairo_destroy) cairo_destroy;
    decltype(&::cairo_status) cairo_status;
    decltype(&::cairo_tag_begin) cairo_tag_begin;
    decltype(&::cairo_tag_end) cairo_tag_end;
    decltype(&::cairo_image_surface_create) cairo_image_surface_create;
    decltype(&::cairo_surface_destroy) cairo_surface_destroy;
    decltype(&::cairo_surface_finish) cairo_surface_finish;
    decltype(&::cairo_surface_show_page) cairo_surface_show_page;
    decltype(&::cairo_surface_status) cairo_surface_status;
    decltype(&::cairo_surface_write_to_png_stream) cairo_surface_write_to_png_stream;
    decltype(&::cairo_pdf_surface_add_outline) cairo_pdf_surface_add_outline;
    decltype(&::cairo_pdf_surface_create_for_stream) cairo_pdf_surface_create_for_stream;
    decltype(&::cairo_pdf_surface_set_metadata) cairo_pdf_surface_set_metadata;
    decltype(&::cairo_pdf_surface_set_page_label) cairo_pdf_surface_set_page_label;
    decltype(&::cairo_pdf_surface_set_size) cairo_pdf_surface_set_size;
};
const SvgLibrary& library();

}  // namespace loomward
