"""What is printed on paper: cards, labels, templates.

In order: content, paper, bench_drawings, fitting, proving, picture, flat_pictures, fold_pictures,
draw_picture, marks, bench_card, labels, measuring_card, measuring_round, coupon_card, tiles,
end_view_card, template, pass_drawing, pass_card, score_card, joined, cards.
"""
