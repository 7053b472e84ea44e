"""What nothing in the program names and is alive all the same, with the reason."""

from typing import Any

_: Any = None

# read by pydantic, the standard library or a template through their names
_.compress_type
_.writable
_.href
_.modes
_.changed_ns  # part of a key: a file that has changed is read anew
_.stamp
_.sentence
_.may

# set for the path tracer, which reads them
_.adaptive_min_samples; _.adaptive_threshold; _.aperture_blades; _.aperture_fstop; _.aperture_rotation; _.blur_glossy
_.border_max_x; _.border_max_y; _.border_min_x; _.border_min_y; _.clip_end; _.clip_start; _.color_depth; _.color_mode
_.denoiser; _.denoising_input_passes; _.denoising_prefilter; _.device; _.diffuse_bounces; _.displacement_method
_.emission_sampling; _.engine; _.file_format; _.filepath; _.film_transparent; _.filter_width; _.focus_distance
_.glossy_bounces; _.instance_type; _.interpolation; _.matrix_world; _.max_bounces; _.pixel_filter_type
_.resolution_x; _.resolution_y; _.sample_clamp_direct; _.sample_clamp_indirect; _.sensor_fit; _.sensor_height
_.sensor_width; _.show_instancer_for_render; _.threads_mode; _.transmission_bounces; _.transparent_max_bounces
_.use_adaptive_sampling; _.use_border; _.use_crop_to_border; _.use_denoising; _.use_dof; _.use_instance_faces_scale
_.use_light_tree; _.use_nodes; _.use_persistent_data; _.visible_camera; _.visible_shadow

# set on a rectangle of pygame, whose sides follow
_.midleft
_.midright

# a label says whether it may be cut; tests of every frame ask it
_.may_shorten

# stated for those who read a record or a page, and held by tests
_.contrast_5_lp_mm
_.CHOICES
_.step_density
_.TEXT_COLOURS
_.TEXT_GROUNDS
_.LEAST_CONTRAST
_.fresnel  # the law by which the surface's reflection is tabled, held against a hand calculation

# names of types, and of colours that a theme must have
_.faint
_.sunk
_.loupe_mm  # asked for by its name
_.lamp_off

# found by name from the catalogue of photographs, or by matching a pattern
_.small_film
_.start_m
_.end_m

# called by the standard library's reader of pages, which ``words_page`` builds on
_.handle_starttag
_.handle_startendtag
_.handle_endtag
_.handle_data
_.handle_entityref
_.handle_charref
_.handle_decl
_.handle_comment
